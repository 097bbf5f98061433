//! S01: something is accepted that is not found.

use document::{Diagnostic, Place};

pub(crate) const CODE: &str = "S01";

pub(crate) fn finding(place: Place, code: &str) -> Diagnostic {
    Diagnostic::warning(CODE, place, format!("`{code}` is accepted here, but not found"))
        .help("take the entry out")
}
