//! W22: an expected result names no state.

use crate::writing::text::{Role, Text};
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W22";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    if !matches!(text.role, Role::Expect | Role::Ask) {
        return None;
    }
    let empty = [
        "ok",
        "okay",
        "checked",
        "correct",
        "correctly",
        "normal",
        "good",
        "acceptable",
        "satisfactory",
        "expected",
        "alright",
    ];
    let word = text.words().find(|word| empty.contains(&&*word.lower))?;
    said(format!("says `{}` and names no state", word.raw), "name the value or state that can be seen")
}
