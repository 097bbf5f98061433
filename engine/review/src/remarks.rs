//! A procedure returned to its author, with remarks step by step.

use crate::approval::quoted;
use document::model::Name;
use document::{Day, FormError};
use serde::Deserialize;
use std::fmt::Write as _;

/// Why a content was not approved: `PROCEDURE.returned.yaml` beside the procedure.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Returned {
    /// The procedure.
    pub returned: Name,
    /// Its revision.
    pub revision: u32,
    /// The hash of the content that was looked at, in hexadecimal.
    pub content: String,
    /// Who returned it.
    pub by: String,
    /// In which role.
    pub role: Name,
    /// When.
    pub date: Day,
    /// Why, as a whole.
    pub reason: String,
    /// Remarks on single steps.
    #[serde(default)]
    pub remarks: Vec<Remark>,
}

/// A remark on one step.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Remark {
    /// The step.
    pub step: Name,
    /// What there is to say of it.
    pub text: String,
}

impl Returned {
    /// Reads the text of such a file.
    ///
    /// # Errors
    /// If it has another form.
    pub fn parse(text: &str) -> Result<Self, FormError> {
        FormError::parse("returned", text)
    }

    /// The text of the file.
    #[must_use]
    pub fn text(&self) -> String {
        let mut text = String::from("# yaml-language-server: $schema=../../schemas/returned.schema.json\n");
        let _ = writeln!(text, "returned: {}", self.returned);
        let _ = writeln!(text, "revision: {}", self.revision);
        let _ = writeln!(text, "content: {}", quoted(&self.content));
        let _ = writeln!(text, "by: {}", quoted(&self.by));
        let _ = writeln!(text, "role: {}", self.role);
        let _ = writeln!(text, "date: {}", self.date);
        let _ = writeln!(text, "reason: {}", quoted(&self.reason));
        if !self.remarks.is_empty() {
            text.push_str("remarks:\n");
        }
        for remark in &self.remarks {
            let _ = writeln!(text, "  - {{ step: {}, text: {} }}", remark.step, quoted(&remark.text));
        }
        text
    }
}
