//! W24: a step asks two questions.

use crate::writing::text::{Role, Text};
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W24";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    (text.role == Role::Ask && text.raw.matches('?').count() > 1).then_some(())?;
    said("asks more than one question", "make a step of each question")
}
