//! A try at a mend.

use crate::findings::check_one;
use document::model::Name;
use document::{InputFile, Library, Severity};
use machine::Machine;
use proof::{Budget, Proof};

/// The documents with some changes, and what is proved of them.
pub(super) struct Attempt {
    /// Names and texts.
    pub(super) files: Vec<(String, String)>,
    pub(super) library: Library,
    pub(super) machine: Machine,
    pub(super) proof: Proof,
    pub(super) errors: usize,
    pub(super) warnings: usize,
}

impl Attempt {
    pub(super) fn read(files: Vec<(String, String)>, procedure: &Name, budget: &Budget<'_>) -> Option<Self> {
        let input: Vec<InputFile> = files
            .iter()
            .map(|(name, text)| InputFile { name: name.clone(), bytes: text.clone().into_bytes() })
            .collect();
        let reading = document::read(&input);
        let checked = check_one(&reading.library, &reading.findings, procedure, budget).ok()?;
        let counted =
            |severity| checked.findings.iter().filter(|finding| finding.severity == severity).count();
        let (errors, warnings) = (counted(Severity::Error), counted(Severity::Warning));
        Some(Self {
            files,
            library: reading.library,
            machine: checked.machine?,
            proof: checked.proof?,
            errors,
            warnings,
        })
    }
}
