//! W34: the items of a list do not begin alike.

use crate::writing::lists::{CONDITION, DETERMINER};
use crate::writing::text::Text;
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W34";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    let kinds = text.sentences.iter().filter(|sentence| sentence.item).filter_map(|sentence| {
        let first = sentence.words.first()?;
        Some((first.is(CONDITION), first.is(DETERMINER)))
    });
    let kinds: std::collections::BTreeSet<_> = kinds.collect();
    (kinds.len() > 1).then_some(())?;
    said("has a list whose items do not begin alike", "begin all with a command, or all with a condition")
}
