//! W40: words say nothing.

use crate::writing::lists::Phrase;
use crate::writing::phrases::phrase;
use crate::writing::text::Text;
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W40";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    let found = phrase(text, Phrase::Idle)?;
    said(format!("says `{found}`, which says nothing"), "leave it out")
}
