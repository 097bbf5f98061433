//! Who can find a condition out, and what its time counts under.

use super::{Cube, NoneWord};
use serde::Deserialize;

/// How a condition can be found out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum SeenBy {
    /// Whoever stands at the machine sees it.
    Look,
    /// An instrument or a test shows it.
    Measure,
    /// Nobody can find it out: it is known by acts and waits alone.
    Nobody,
}

/// While what the time of a condition that settles counts.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(untagged)]
pub enum While {
    /// The cause is an event that nothing sustains: time always counts.
    None(NoneWord),
    /// Time counts only while all of this surely holds.
    Cube(Cube),
}

impl While {
    /// What must hold for the time to count, if anything must.
    #[must_use]
    pub fn cube(&self) -> Option<&Cube> {
        match self {
            Self::None(NoneWord::None) => None,
            Self::Cube(cube) => Some(cube),
        }
    }
}
