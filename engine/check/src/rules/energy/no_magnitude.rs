//! E01: an energy source has no magnitude.

use crate::writing::{Found, Ground};
use calc::quantity::Quantity;
use document::pointer;

pub(crate) const CODE: &str = "E01";

pub(crate) fn findings(ground: &Ground<'_>) -> Vec<Found> {
    let figure = |text: &str| {
        let words: Vec<&str> =
            text.split_whitespace().map(|word| word.trim_matches([',', '.', ';', '(', ')'])).collect();
        words.windows(2).any(|pair| Quantity::parse(&pair.join(" ")).is_ok())
    };
    let sources = ground.equipment.model.energy.iter();
    let bare = sources.filter(|(_, energy)| !figure(&energy.source));
    bare.map(|(name, _)| {
        let at = pointer("/energy", name) + "/source";
        ground
            .warning(CODE, &at, format!("`{name}` has no magnitude"))
            .help("write how much it is, with its unit: \"Mains, 400 V\"")
    })
    .collect()
}
