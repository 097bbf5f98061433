//! W12: a sentence is too long.

use crate::writing::text::{Role, Text};
use crate::writing::{Said, said};
use document::model::{Equipment, WritingScheme};

pub(crate) const CODE: &str = "W12";

pub(crate) fn finding(text: &Text<'_>, equipment: &Equipment) -> Option<Said> {
    use Role::{Act, Ask, Avoid, Check, Consequence, Hazard};
    let short = matches!(text.role, Act | Ask | Check | Hazard | Consequence | Avoid);
    let most = if short && equipment.writing == WritingScheme::Ste { 20 } else { 25 };
    let words = text.sentences.iter().map(|sentence| sentence.count()).max().filter(|&words| words > most)?;
    said(
        format!("has a sentence of {words} words, more than {most}"),
        "make two sentences of it, or two steps",
    )
}
