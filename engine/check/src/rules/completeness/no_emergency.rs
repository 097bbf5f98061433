//! C03: nothing says what to do in an emergency.

use crate::writing::{Found, Writing};

pub(crate) const CODE: &str = "C03";

pub(crate) fn findings(writing: &Writing<'_>) -> Vec<Found> {
    if writing.model().emergency.is_some() {
        return Vec::new();
    }
    let message = "nothing says what to do in an emergency";
    vec![
        writing
            .advice(CODE, "/procedure", message)
            .help("add `emergency`: what to do first, and whom to call"),
    ]
}
