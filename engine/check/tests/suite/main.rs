//! Whole documents judged by all rules: published texts, the bundled library, seeded faults, mends.

mod causes;
mod faults;
mod mends;
mod published;
mod standards;
mod wording;

#[path = "../../../../tests/support"]
mod support {
    #[expect(
        dead_code,
        clippy::disallowed_methods,
        reason = "other suites use the rest; bundled files are read"
    )]
    pub(crate) mod demo;
    pub(crate) mod edit;
}

use document::InputFile;
use support::{demo, edit};

/// The equipment of the published order of energy control.
const REGULATED: &str = include_str!("../energy-control/equipment.yaml");

fn file(name: &str, text: &str) -> InputFile {
    InputFile { name: format!("{name}.yaml"), bytes: text.into() }
}
