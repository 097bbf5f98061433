//! W27: a figure of a quantity has no unit.

use crate::writing::text::Text;
use crate::writing::{Said, said};
use calc::quantity::Unit;
use document::model::Equipment;

pub(crate) const CODE: &str = "W27";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    let quantity = |word: &str| {
        matches!(
            word,
            "torque"
                | "pressure"
                | "temperature"
                | "voltage"
                | "current"
                | "distance"
                | "gap"
                | "resistance"
                | "flow"
                | "weight"
        )
    };
    let bare = |words: &[crate::writing::text::Word<'_>]| {
        let named = words.iter().position(|word| quantity(&word.lower))?;
        let at = (named + 1..words.len()).find(|&at| words[at].is_figure())?;
        let figure = &words[at];
        let alone = figure.raw.chars().all(|letter| letter.is_ascii_digit() || letter == '.');
        let mut near = words[at + 1..].iter().take(3);
        (alone && at - named < 5 && !near.any(|word| Unit::parse(word.raw).is_ok()))
            .then(|| figure.raw.to_owned())
    };
    let figure = text.sentences.iter().find_map(|sentence| bare(&sentence.words))?;
    said(format!("gives {figure} without a unit"), "write the unit after the figure")
}
