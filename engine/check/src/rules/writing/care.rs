//! W35: a text asks for care and names no act.

use crate::writing::lists::Phrase;
use crate::writing::phrases::phrase;
use crate::writing::text::Text;
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W35";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    let found = phrase(text, Phrase::Care)?;
    said(format!("says `{found}` and not what to do"), "name the act, or the hazard under `warn`")
}
