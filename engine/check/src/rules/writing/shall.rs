//! W07: "Shall" stands in a text that people work by.

use crate::writing::text::Text;
use crate::writing::{Said, said};
use document::model::{Equipment, WritingScheme};

pub(crate) const CODE: &str = "W07";

pub(crate) fn finding(text: &Text<'_>, equipment: &Equipment) -> Option<Said> {
    if equipment.writing == WritingScheme::Doe && !text.role.instructs() {
        return None;
    }
    text.words().find(|word| word.lower == "shall")?;
    said("says `shall`", "command it in a step, or say \"must\"")
}
