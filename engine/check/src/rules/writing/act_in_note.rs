//! W19: a note holds an act.

use crate::writing::text::{Role, Text};
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W19";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    text.sentences.iter().find(|sentence| sentence.commands()).filter(|_| text.role == Role::Note)?;
    said("holds an act", "make a step of it")
}
