//! W10: a sentence says no twice.

use crate::writing::lists::NEGATIVE;
use crate::writing::text::{Role, Text};
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W10";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    if matches!(text.role, Role::Scope | Role::Purpose) {
        return None;
    }
    let twice = |sentence: &crate::writing::text::Sentence<'_>| {
        let not = sentence.words.iter().filter(|word| word.is(NEGATIVE)).count();
        let unless = sentence.words.iter().any(|word| matches!(&*word.lower, "unless" | "except"));
        let joined =
            sentence.words.iter().any(|word| matches!(&*word.lower, "and" | "or" | "nor" | "neither"));
        not > 0 && unless || not > 1 && !joined
    };
    text.sentences.iter().find(|sentence| twice(sentence))?;
    said("says no twice in one sentence", "say what is to be done, or what is so")
}
