//! C16: an instrument has no uncertainty.

use crate::writing::{Found, Ground};
use document::pointer;

pub(crate) const CODE: &str = "C16";

pub(crate) fn findings(ground: &Ground<'_>) -> Vec<Found> {
    let instruments = ground.equipment.model.instruments.iter();
    let bare = instruments.filter(|(_, instrument)| instrument.uncertainty.is_none());
    bare.map(|(name, _)| {
        ground
            .advice(CODE, &pointer("/instruments", name), format!("instrument `{name}` has no `uncertainty`"))
            .help("add it, from its certificate")
    })
    .collect()
}
