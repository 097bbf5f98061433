//! W33: a thing is called by another word.

use crate::writing::phrases::begins;
use crate::writing::text::Text;
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W33";

pub(crate) fn finding(text: &Text<'_>, equipment: &Equipment) -> Option<Said> {
    let terms = equipment.terms.iter();
    let (term, word) = terms.flat_map(|(term, others)| others.iter().map(move |other| (term, other))).find(
        |(_, other)| {
            text.sentences
                .iter()
                .any(|sentence| (0..sentence.words.len()).any(|at| begins(&sentence.words[at..], other)))
        },
    )?;
    said(format!("says `{word}` for `{term}`"), "use the equipment's word")
}
