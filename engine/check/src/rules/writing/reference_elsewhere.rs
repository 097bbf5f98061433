//! W31: a text sends the reader elsewhere.

use crate::writing::lists::Phrase;
use crate::writing::phrases::phrase;
use crate::writing::text::Text;
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W31";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    let found = phrase(text, Phrase::Reference).filter(|_| text.role.instructs())?;
    said(format!("says `{found}`"), "write the act out, or `perform` the other procedure")
}
