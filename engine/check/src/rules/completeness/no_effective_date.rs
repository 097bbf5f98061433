//! C01: no day is given from which the revision counts.

use crate::writing::{Found, Writing};

pub(crate) const CODE: &str = "C01";

pub(crate) fn findings(writing: &Writing<'_>) -> Vec<Found> {
    if writing.model().effective.is_some() {
        return Vec::new();
    }
    let message = "nothing says from which day this revision counts";
    vec![writing.advice(CODE, "/procedure", message).help("add `effective: 2026-11-02`, with its day")]
}
