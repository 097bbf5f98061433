//! W14: an act is in the passive voice.

use crate::writing::lists::{BE, PARTICIPLE};
use crate::writing::text::Text;
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W14";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    let passive = |pair: &&[crate::writing::text::Word<'_>]| {
        let done = pair[1].is(PARTICIPLE) || pair[1].lower.len() > 4 && pair[1].lower.ends_with("ed");
        pair[0].is(BE) && done
    };
    let mut sentences = text.sentences.iter().filter(|_| text.role.instructs());
    let [be, done] = sentences.find_map(|sentence| sentence.words.windows(2).find(passive))? else {
        return None;
    };
    said(
        format!("says `{} {}`: nobody does it", be.raw, done.raw),
        "command it, with `by` where not everyone may do it",
    )
}
