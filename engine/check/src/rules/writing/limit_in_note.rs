//! W20: a note holds a requirement or a limit.

use crate::writing::phrases::begins;
use crate::writing::text::{Role, Text};
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W20";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    if text.role != Role::Note {
        return None;
    }
    let limits = ["must", "at least", "at most", "no more than", "not more than", "maximum", "minimum"];
    let found = text.sentences.iter().find_map(|sentence| {
        (0..sentence.words.len())
            .find_map(|at| limits.iter().find(|limit| begins(&sentence.words[at..], limit)))
    })?;
    said(format!("sets a limit: `{found}`"), "put the limit into `expect`, `measure` or `requires`")
}
