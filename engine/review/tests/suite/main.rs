//! What an approval is worth, what changed for safety, and what the officer's page says of it.

mod comparing;
#[path = "../../../document/tests/suite/harmless.rs"]
mod harmless;
mod pairs;
mod sheet;
mod voids;
mod waits;

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

use document::{InputFile, Library};
use std::collections::BTreeMap;
use support::demo;

/// The bundled files with some of them written otherwise.
fn library(changes: &BTreeMap<String, String>) -> Library {
    let files: Vec<InputFile> = demo::files()
        .into_iter()
        .map(|file| match changes.get(file.name.trim_end_matches(".yaml")) {
            Some(text) => InputFile { bytes: text.clone().into_bytes(), ..file },
            None => file,
        })
        .collect();
    let reading = document::read(&files);
    let errors: Vec<&str> = reading.findings.iter().map(|finding| finding.message.as_str()).collect();
    assert_eq!(errors, Vec::<&str>::new(), "the edit still reads");
    reading.library
}
