//! T08: work asks for protective equipment that is not listed.

use super::taken::{self, Things};
use crate::writing::{Found, Writing};

pub(crate) const CODE: &str = "T08";

pub(crate) fn findings(writing: &Writing<'_>) -> Vec<Found> {
    taken::taken_and_unlisted(writing, CODE, Things::Wear)
}
