//! W06: an instruction may or should be followed.

use crate::writing::lists::MODAL;
use crate::writing::text::Text;
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W06";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    let word = text.words().find(|word| word.is(MODAL)).filter(|_| text.role.instructs())?;
    said(format!("says `{}`", word.raw), "command it, or ask a question whose answers lead on")
}
