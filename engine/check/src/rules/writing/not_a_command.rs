//! W02: an act does not begin with a command.

use crate::writing::lists::{ACTOR, DETERMINER, MODAL};
use crate::writing::text::Text;
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W02";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    let sentence = text.sentences.first().filter(|_| text.role.instructs())?;
    let first = sentence.after_condition().first()?;
    let ing = first.lower.len() > 5 && first.lower.ends_with("ing");
    if !ing && !first.is(ACTOR | DETERMINER | MODAL) {
        return None;
    }
    said(
        format!("begins with `{}`, not with a command", first.raw),
        "begin with the verb: \"Turn the switch to 0.\"",
    )
}
