//! W08: a condition stands after the act.

use crate::writing::text::Text;
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W08";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    let late = |sentence: &crate::writing::text::Sentence<'_>| {
        let words = sentence.words.iter().skip(1);
        words
            .filter(|word| matches!(&*word.lower, "if" | "when" | "unless" | "whenever"))
            .map(|word| word.raw.to_owned())
            .next()
    };
    let word = text.sentences.iter().filter(|_| text.role.instructs()).find_map(late)?;
    said(
        format!("has its condition, `{word}`, after the act"),
        "put the condition first, or make a question of it",
    )
}
