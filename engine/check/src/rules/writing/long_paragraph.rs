//! W13: a paragraph is too long.

use crate::writing::text::Text;
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W13";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    let paragraphs = text.sentences.chunk_by(|a, b| a.paragraph == b.paragraph);
    let longest = paragraphs.map(<[_]>::len).max().filter(|&sentences| sentences > 6)?;
    said(
        format!("has a paragraph of {longest} sentences"),
        "make a list of it, or leave out what nobody does",
    )
}
