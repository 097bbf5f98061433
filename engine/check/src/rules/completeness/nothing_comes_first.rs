//! C17: nothing says whose instructions come first.

use crate::writing::{Found, Ground};

pub(crate) const CODE: &str = "C17";

pub(crate) fn findings(ground: &Ground<'_>) -> Vec<Found> {
    if ground.equipment.model.defer.is_some() {
        return Vec::new();
    }
    let message = "nothing says that the maker's instructions come first";
    vec![
        ground
            .advice(CODE, "/equipment", message)
            .help("add `defer`, with what comes first; it stands on every card"),
    ]
}
