//! W26: a unit is not written with its symbol.

use crate::writing::text::Text;
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W26";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    let symbols = [
        ("sec", "s"),
        ("secs", "s"),
        ("hr", "h"),
        ("hrs", "h"),
        ("mins", "min"),
        ("kgs", "kg"),
        ("gms", "g"),
        ("mtr", "m"),
        ("mtrs", "m"),
        ("ltr", "L"),
        ("ltrs", "L"),
        ("lit", "L"),
        ("Nm", "N·m"),
        ("cc", "mL"),
        ("amps", "A"),
        ("deg", "°"),
        ("KG", "kg"),
        ("Kg", "kg"),
    ];
    let wrong = |pair: &&[crate::writing::text::Word<'_>]| {
        pair[0].is_figure() && symbols.iter().any(|(word, _)| pair[1].raw == *word)
    };
    let [figure, unit] = text.sentences.iter().find_map(|sentence| sentence.words.windows(2).find(wrong))?
    else {
        return None;
    };
    let symbol = symbols.iter().find(|(word, _)| unit.raw == *word).map_or("", |(_, symbol)| symbol);
    said(
        format!("says `{} {}`, which is `{} {symbol}`", figure.raw, unit.raw, figure.raw),
        "write the unit with its symbol",
    )
}
