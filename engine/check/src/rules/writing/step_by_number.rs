//! W30: a step is referred to by its number or place.

use crate::writing::text::Text;
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W30";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    let wrong = |pair: &&[crate::writing::text::Word<'_>]| {
        let step = |word: &str| matches!(word, "step" | "steps");
        let place =
            matches!(&*pair[0].lower, "previous" | "preceding" | "next" | "following" | "last" | "above");
        step(&pair[0].lower) && pair[1].is_figure() || place && step(&pair[1].lower)
    };
    let [first, second] = text.sentences.iter().find_map(|sentence| sentence.words.windows(2).find(wrong))?
    else {
        return None;
    };
    said(format!("refers to `{} {}`", first.raw, second.raw), "lead there with `then`, or name what is meant")
}
