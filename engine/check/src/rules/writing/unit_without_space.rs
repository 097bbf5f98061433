//! W25: no space stands between a figure and its unit.

use crate::writing::text::Text;
use crate::writing::{Said, said};
use calc::quantity::Unit;
use document::model::Equipment;

pub(crate) const CODE: &str = "W25";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    let glued = |word: &str| {
        let end = word.find(|letter: char| !letter.is_ascii_digit() && letter != '.');
        let unit = end.map(|at| &word[at..]).filter(|unit| !matches!(*unit, "°" | "%"));
        unit.is_some_and(|unit| Unit::parse(unit).is_ok())
    };
    let word = text.words().find(|word| word.is_figure() && glued(word.raw))?;
    said(format!("has no space before the unit of `{}`", word.raw), "put a space between figure and unit")
}
