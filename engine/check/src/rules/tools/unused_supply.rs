//! T03: a supply is listed that no step takes.

use super::taken::{self, Things};
use crate::writing::{Found, Writing};

pub(crate) const CODE: &str = "T03";

pub(crate) fn findings(writing: &Writing<'_>) -> Vec<Found> {
    taken::listed_and_unused(writing, CODE, Things::Supply)
}
