//! C02: nobody is named who wrote the procedure.

use crate::writing::{Found, Writing};

pub(crate) const CODE: &str = "C02";

pub(crate) fn findings(writing: &Writing<'_>) -> Vec<Found> {
    if writing.model().author.is_some() {
        return Vec::new();
    }
    vec![
        writing
            .advice(CODE, "/procedure", "nothing says who wrote this procedure")
            .help("add `author`, with a name"),
    ]
}
