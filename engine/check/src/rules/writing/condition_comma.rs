//! W09: no comma ends the condition that opens an act.

use crate::writing::lists::CONDITION;
use crate::writing::text::Text;
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W09";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    let mut sentences = text.sentences.iter().filter(|_| text.role.instructs());
    let opens = |sentence: &&crate::writing::text::Sentence<'_>| {
        sentence.words.first().is_some_and(|word| word.is(CONDITION))
    };
    sentences.find(|sentence| opens(sentence) && !sentence.words.iter().any(|word| word.comma))?;
    said("opens with a condition that no comma ends", "put a comma after the condition")
}
