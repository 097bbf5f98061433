//! W11: a question is asked in the negative.

use crate::writing::text::{Role, Text};
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W11";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    let not = |word: &str| word == "not" || word.ends_with("n't");
    text.words().find(|word| not(&word.lower)).filter(|_| text.role == Role::Ask)?;
    said("asks in the negative", "ask for what a yes is to mean")
}
