//! W38: a slash stands for "and" or for "or".

use crate::writing::text::Text;
use crate::writing::{Said, said};
use calc::quantity::Unit;
use document::model::Equipment;

pub(crate) const CODE: &str = "W38";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    let joined = |word: &str| {
        let Some((left, right)) = word.split_once('/') else { return false };
        let words = |part: &str| part.len() > 1 && part.chars().all(char::is_alphabetic);
        words(left) && words(right) && Unit::parse(word).is_err()
    };
    let word = text.words().find(|word| joined(word.raw))?;
    said(format!("joins words with a slash: `{}`", word.raw), "say `and`, or `or`, or make a question of it")
}
