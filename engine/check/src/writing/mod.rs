//! What the rules about wording and completeness look at: texts taken apart once, steps with their places.

mod accept;
mod collect;
pub(crate) mod lists;
pub(crate) mod phrases;
pub(crate) mod readability;
pub(crate) mod text;

pub use accept::Accepted;
#[cfg(test)]
pub(crate) use accept::FAMILIES;

use crate::rules;
use document::model::{Equipment, Name, Procedure, Step};
use document::{Diagnostic, Document, Library, Place, Severity};
use machine::Machine;
use text::Text;

/// One procedure as its author wrote it. Nothing here is proved: order is written order.
pub(crate) struct Writing<'a> {
    pub(crate) procedure: &'a Document<Procedure>,
    pub(crate) equipment: &'a Document<Equipment>,
    pub(crate) library: &'a Library,
    pub(crate) texts: Vec<Text<'a>>,
    pub(crate) steps: Vec<StepAt<'a>>,
    /// The procedure as a machine; none if it is too large for one.
    pub(crate) compiled: Option<&'a Machine>,
}

/// One step with its place, at any depth, in written order.
pub(crate) struct StepAt<'a> {
    pub(crate) step: &'a Step,
    pub(crate) at: String,
    /// The step after it in the same list.
    pub(crate) next: Option<&'a Name>,
}

/// The equipment document as its author wrote it.
pub(crate) struct Ground<'a> {
    pub(crate) equipment: &'a Document<Equipment>,
    pub(crate) library: &'a Library,
    pub(crate) texts: Vec<Text<'a>>,
}

/// A finding and the pointer it is about, by which it can be accepted.
pub(crate) struct Found {
    at: String,
    finding: Diagnostic,
}

impl Found {
    pub(crate) fn help(mut self, help: impl Into<String>) -> Self {
        self.finding = self.finding.help(help);
        self
    }
}

/// A finding that is worth reading and stops nothing.
fn advice(code: &'static str, place: Place, message: impl Into<String>) -> Diagnostic {
    Diagnostic { severity: Severity::Advice, ..Diagnostic::warning(code, place, message) }
}

impl<'a> Writing<'a> {
    pub(crate) fn model(&self) -> &'a Procedure {
        &self.procedure.model
    }

    pub(crate) fn machine(&self) -> &'a Equipment {
        &self.equipment.model
    }

    /// What judging found at a key, or a value where it has none.
    pub(crate) fn advice(&self, code: &'static str, at: &str, message: impl Into<String>) -> Found {
        Found { at: at.to_owned(), finding: advice(code, self.procedure.key_place(at), message) }
    }

    /// The same of what can be told for certain.
    pub(crate) fn warning(&self, code: &'static str, at: &str, message: impl Into<String>) -> Found {
        Found { at: at.to_owned(), finding: Diagnostic::warning(code, self.procedure.key_place(at), message) }
    }
}

impl Ground<'_> {
    pub(crate) fn advice(&self, code: &'static str, at: &str, message: impl Into<String>) -> Found {
        Found { at: at.to_owned(), finding: advice(code, self.equipment.key_place(at), message) }
    }

    pub(crate) fn warning(&self, code: &'static str, at: &str, message: impl Into<String>) -> Found {
        Found { at: at.to_owned(), finding: Diagnostic::warning(code, self.equipment.key_place(at), message) }
    }
}

impl StepAt<'_> {
    /// The pointer of a key of the step.
    pub(crate) fn key(&self, key: &str) -> String {
        format!("{}/{key}", self.at)
    }
}

/// What the rules say of one procedure, and what its author accepted of it.
pub(crate) fn procedure(
    library: &Library,
    procedure: &Document<Procedure>,
    equipment: &Document<Equipment>,
    compiled: Option<&Machine>,
) -> (Vec<Diagnostic>, Vec<Accepted>) {
    let writing = Writing {
        compiled,
        procedure,
        equipment,
        library,
        texts: collect::procedure(&procedure.model),
        steps: collect::steps(&procedure.model.steps),
    };
    let mut found = Vec::new();
    for (code, rule) in rules::TEXT_RULES {
        for text in &writing.texts {
            found.extend(rule(text, &equipment.model).map(|said| {
                let message = format!("{} {}", text.subject(), said.message);
                writing.advice(code, &text.at, message).help(said.help)
            }));
        }
    }
    found.extend(rules::WRITING_RULES.iter().flat_map(|rule| rule(&writing)));
    let controls = rules::Control::all(&writing);
    found.extend(rules::ENERGY_RULES.iter().flat_map(|rule| rule(&writing, &controls)));
    accept::part(found, accept::of_procedure(&writing), procedure)
}

/// The same for an equipment document.
pub(crate) fn equipment(
    library: &Library,
    equipment: &Document<Equipment>,
) -> (Vec<Diagnostic>, Vec<Accepted>) {
    let ground = Ground { equipment, library, texts: collect::equipment(&equipment.model) };
    let mut found = Vec::new();
    for (code, rule) in rules::TEXT_RULES {
        for text in &ground.texts {
            found.extend(rule(text, &equipment.model).map(|said| {
                let message = format!("{} {}", text.subject(), said.message);
                ground.advice(code, &text.at, message).help(said.help)
            }));
        }
    }
    found.extend(rules::GROUND_RULES.iter().flat_map(|rule| rule(&ground)));
    accept::part(found, accept::of_equipment(&equipment.model), equipment)
}

/// What a rule about wording says of one text; it goes on after "the act of step `open-bowl`".
pub(crate) struct Said {
    pub(crate) message: String,
    pub(crate) help: &'static str,
}

pub(crate) fn said(message: impl Into<String>, help: &'static str) -> Option<Said> {
    Some(Said { message: message.into(), help })
}
