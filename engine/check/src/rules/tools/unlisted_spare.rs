//! T06: a step takes a spare that is not listed.

use super::taken::{self, Things};
use crate::writing::{Found, Writing};

pub(crate) const CODE: &str = "T06";

pub(crate) fn findings(writing: &Writing<'_>) -> Vec<Found> {
    taken::taken_and_unlisted(writing, CODE, Things::Spare)
}
