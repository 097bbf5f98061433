//! W01: a step holds two acts.

use crate::writing::lists::DETERMINER;
use crate::writing::text::commands;
use crate::writing::text::{Role, Text};
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W01";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    if text.role != Role::Act {
        return None;
    }
    let begun = text.sentences.iter().filter(|sentence| sentence.commands()).count() > 1;
    // "Hold and turn the ring" is one act of two hands; "wipe the screen and rinse the bowl" is two.
    let chained = text.sentences.iter().any(|sentence| {
        (2..sentence.words.len()).any(|at| {
            let joins = matches!(&*sentence.words[at - 1].lower, "and" | "then");
            let next = sentence.words.get(at + 1).is_some_and(|next| next.is(DETERMINER));
            joins && next && commands(&sentence.words[at..])
        })
    });
    if begun || chained { said("holds a second act", "make a step of each act") } else { None }
}
