//! What an approval is worth, what changed for safety, and what the officer's page says of it.

mod comparing;
#[path = "../../../document/tests/suite/harmless.rs"]
mod harmless;
mod pairs;
mod seeing;
mod sheet;
mod spellings;
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
