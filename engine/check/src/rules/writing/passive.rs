//! W14: an act is in the passive voice.

use crate::writing::lists::{BE, PARTICIPLE};
use crate::writing::text::Text;
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W14";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    let passive = |words: &[crate::writing::text::Word<'_>]| {
        let at = (1..words.len()).find(|&at| {
            let word = &words[at];
            let done = word.is(PARTICIPLE) || word.lower.len() > 4 && word.lower.ends_with("ed");
            // "Tell the trainer what was found" asks nobody to find it.
            let about = at > 1 && matches!(&*words[at - 2].lower, "what" | "which" | "who");
            words[at - 1].is(BE) && done && !about
        })?;
        Some(format!("{} {}", words[at - 1].raw, words[at].raw))
    };
    let mut sentences = text.sentences.iter().filter(|_| text.role.instructs());
    let found = sentences.find_map(|sentence| passive(&sentence.words))?;
    said(format!("says `{found}`: nobody does it"), "command it, with `by` where not everyone may do it")
}
