//! T07: protective equipment is listed that no step needs.

use super::taken::{self, Things};
use crate::writing::{Found, Writing};

pub(crate) const CODE: &str = "T07";

pub(crate) fn findings(writing: &Writing<'_>) -> Vec<Found> {
    taken::listed_and_unused(writing, CODE, Things::Wear)
}
