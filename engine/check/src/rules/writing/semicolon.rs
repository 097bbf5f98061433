//! W16: a semicolon joins two sentences.

use crate::writing::text::Text;
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W16";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    text.raw.contains(';').then_some(())?;
    said("holds a semicolon", "make two sentences of it")
}
