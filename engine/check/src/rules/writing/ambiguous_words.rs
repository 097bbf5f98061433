//! W04: a word leaves the decision to the reader.

use crate::writing::lists::{Phrase, VAGUE};
use crate::writing::phrases::phrase;
use crate::writing::text::{Role, Text};
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W04";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    if !text.role.instructs() && !matches!(text.role, Role::Ask | Role::Expect | Role::Avoid) {
        return None;
    }
    let word = text.words().find(|word| word.is(VAGUE)).map(|word| word.raw);
    let found = phrase(text, Phrase::Vague).or(word)?;
    said(
        format!("says `{found}` and not what decides"),
        "say what decides: a figure, a mark, something that is seen",
    )
}
