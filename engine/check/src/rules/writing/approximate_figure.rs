//! W05: a figure is approximate and has no limits.

use crate::writing::lists::APPROXIMATE;
use crate::writing::text::Text;
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W05";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    let near = |words: &[crate::writing::text::Word<'_>]| {
        words
            .windows(2)
            .find(|pair| pair[0].is(APPROXIMATE) && pair[1].is_figure())
            .map(|pair| pair[1].raw.to_owned())
    };
    let figure = text.sentences.iter().find_map(|sentence| near(&sentence.words))?;
    said(format!("gives {figure} without limits"), "give the least and the greatest value")
}
