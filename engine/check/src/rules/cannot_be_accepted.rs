//! S02: this finding cannot be accepted.

use document::{Diagnostic, Place};

pub(crate) const CODE: &str = "S02";

pub(crate) fn finding(place: Place, code: &str) -> Diagnostic {
    Diagnostic::warning(CODE, place, format!("`{code}` cannot be accepted"))
        .help("only codes of the families C, E, H, T, U and W can be accepted; mend what is found")
}
