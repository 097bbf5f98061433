//! W17: more than three words in a row are in capitals.

use crate::writing::text::Text;
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W17";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    let capitals = |word: &crate::writing::text::Word<'_>| {
        word.raw.len() > 1 && !word.raw.chars().any(|letter| letter.is_lowercase() || letter.is_ascii_digit())
    };
    let run =
        |words: &[crate::writing::text::Word<'_>]| words.windows(4).any(|four| four.iter().all(capitals));
    text.sentences.iter().find(|sentence| run(&sentence.words))?;
    said("is in capitals over more than three words", "write it in lower case")
}
