//! W21: an expected result is written as an act.

use crate::writing::text::{Role, Text};
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W21";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    text.sentences.iter().find(|sentence| sentence.commands()).filter(|_| text.role == Role::Expect)?;
    said("commands an act", "say what is seen, heard or read when the step is done")
}
