//! W39: an amount has no figure.

use crate::writing::lists::Phrase;
use crate::writing::phrases::phrase;
use crate::writing::text::{Role, Text};
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W39";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    let found =
        phrase(text, Phrase::Quantity).filter(|_| text.role != Role::Purpose && text.role != Role::Scope)?;
    said(format!("says `{found}`"), "give the figure with its unit")
}
