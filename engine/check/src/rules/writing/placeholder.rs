//! W41: a text holds a place for something not yet known.

use crate::writing::lists::Phrase;
use crate::writing::phrases::phrase;
use crate::writing::text::Text;
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W41";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    let word = text.words().find(|word| matches!(word.raw, "TBD" | "TBC" | "TBA")).map(|word| word.raw);
    let found = phrase(text, Phrase::Placeholder).or(word).or(text.raw.contains("???").then_some("???"))?;
    said(format!("holds a place: `{found}`"), "say it, or leave the step out until it is known")
}
