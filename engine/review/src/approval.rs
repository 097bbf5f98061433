//! An approval as a small text.

use document::model::Name;
use document::{Day, FormError, hex};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::fmt::Write as _;

/// Who approved what, for how long, and on what grounds: `PROCEDURE.approval.yaml` beside the procedure.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Approval {
    /// The procedure.
    pub approval: Name,
    /// Its revision.
    pub revision: u32,
    /// Under which meaning of the documents it was given; the first one where it does not say.
    #[serde(default = "first", skip_serializing_if = "is_first")]
    pub meaning: u32,
    /// The hash of the content, in hexadecimal: everything that decides what a person reads and may do.
    pub content: String,
    /// The hash of the certificate of what was proved then, in hexadecimal. It binds nothing: another version of the program may find
    /// another certificate of the same content.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub certificate: Option<String>,
    /// Who approved it.
    pub by: String,
    /// In which role.
    pub role: Name,
    /// The day of the approval.
    pub date: Day,
    /// The last day on which it holds.
    pub until: Day,
    /// The walkthrough on the machine, if there was one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub walkthrough: Option<Walkthrough>,
    /// Findings that were open and were accepted.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub accepted: Vec<Accepted>,
    /// Set when the approval was taken back.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub withdrawn: Option<Withdrawal>,
    /// Hash of all of the above, in hexadecimal: it shows a change by hand. Against someone who means it, sign.
    pub seal: String,
}

/// Approvals of the first meaning name none, and their seals were made without it.
fn first() -> u32 {
    1
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde calls it so")]
fn is_first(meaning: &u32) -> bool {
    *meaning == first()
}

/// A walkthrough on the machine, step by step, by someone other than the author.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Walkthrough {
    /// Who.
    pub by: String,
    /// When.
    pub date: Day,
    /// Where, and on which machine.
    pub place: String,
}

/// A finding that was open at the approval and was accepted.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Accepted {
    /// Its code.
    pub code: String,
    /// The step; left out for a finding about no step.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub step: Option<Name>,
    /// Why it was accepted.
    pub reason: String,
}

/// When and why an approval was taken back.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Withdrawal {
    /// Who.
    pub by: String,
    /// When.
    pub date: Day,
    /// Why.
    pub reason: String,
}

impl Approval {
    /// Reads the text of an approval. Whether it holds is for [`crate::approval_status`] to say.
    ///
    /// # Errors
    /// If it has another form.
    pub fn parse(text: &str) -> Result<Self, FormError> {
        FormError::parse("approval", text)
    }

    /// The approval with its seal set anew.
    #[must_use]
    pub fn sealed(mut self) -> Self {
        self.seal = self.seal_due();
        self
    }

    /// Whether nothing was changed since it was sealed.
    #[must_use]
    pub fn is_sealed(&self) -> bool {
        self.seal == self.seal_due()
    }

    fn seal_due(&self) -> String {
        let bare = Self { seal: String::new(), ..self.clone() };
        // A struct of texts and numbers always has a JSON form.
        let json = serde_json::to_string(&bare).unwrap_or_default();
        hex(Sha256::digest(format!("gatewright approval\n{json}")))
    }

    /// The text of the file.
    #[must_use]
    pub fn text(&self) -> String {
        let mut text = String::from("# yaml-language-server: $schema=../../schemas/approval.schema.json\n");
        let _ = writeln!(text, "approval: {}", self.approval);
        let _ = writeln!(text, "revision: {}", self.revision);
        if !is_first(&self.meaning) {
            let _ = writeln!(text, "meaning: {}", self.meaning);
        }
        let _ = writeln!(text, "content: {}", quoted(&self.content));
        if let Some(certificate) = &self.certificate {
            let _ = writeln!(text, "certificate: {}", quoted(certificate));
        }
        let _ = writeln!(text, "by: {}", quoted(&self.by));
        let _ = writeln!(text, "role: {}", self.role);
        let _ = writeln!(text, "date: {}", self.date);
        let _ = writeln!(text, "until: {}", self.until);
        if let Some(walk) = &self.walkthrough {
            let _ = writeln!(
                text,
                "walkthrough: {{ by: {}, date: {}, place: {} }}",
                quoted(&walk.by),
                walk.date,
                quoted(&walk.place)
            );
        }
        if !self.accepted.is_empty() {
            text.push_str("accepted:\n");
        }
        for accepted in &self.accepted {
            let step = accepted.step.as_ref().map(|step| format!(", step: {step}")).unwrap_or_default();
            let _ = writeln!(
                text,
                "  - {{ code: {}{step}, reason: {} }}",
                quoted(&accepted.code),
                quoted(&accepted.reason)
            );
        }
        if let Some(withdrawn) = &self.withdrawn {
            let _ = writeln!(
                text,
                "withdrawn: {{ by: {}, date: {}, reason: {} }}",
                quoted(&withdrawn.by),
                withdrawn.date,
                quoted(&withdrawn.reason)
            );
        }
        let _ = writeln!(text, "seal: {}", quoted(&self.seal));
        text
    }
}

/// A text as a YAML scalar: a JSON string is one.
pub(crate) fn quoted(text: &str) -> String {
    serde_json::Value::from(text).to_string()
}
