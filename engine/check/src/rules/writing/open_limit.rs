//! W29: of a limit nobody knows whether it counts.

use crate::writing::phrases::begins;
use crate::writing::text::{Role, Text};
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W29";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    if !text.role.instructs() && !matches!(text.role, Role::Ask | Role::Expect | Role::What) {
        return None;
    }
    let phrases =
        ["less than", "more than", "greater than", "smaller than", "above", "below", "over", "under"];
    let open = |words: &[crate::writing::text::Word<'_>]| {
        let phrase = phrases.iter().find(|phrase| begins(words, phrase))?;
        let figure = words.get(phrase.split(' ').count()).filter(|word| word.is_figure())?;
        Some(format!("{phrase} {}", figure.raw))
    };
    let found = text
        .sentences
        .iter()
        .find_map(|sentence| (0..sentence.words.len()).find_map(|at| open(&sentence.words[at..])))?;
    said(format!("says `{found}`"), "say \"at least\" or \"at most\"")
}
