//! What the kinds of steps are made of.

use super::{Cube, Figure, Name};
use serde::Deserialize;

/// The name of a step, or `done` or `stop`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(transparent)]
pub struct Target(
    /// The authored text.
    pub Name,
);

/// Conditions to be looked at and confirmed.
pub type Confirm = Cube;

/// A reading with its range. At least one of `at_least` and `at_most` is present.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Measure {
    /// What is measured, as a phrase: "the resistance across the bond strip".
    pub what: String,
    /// Instrument of the equipment.
    pub instrument: Name,
    /// Least acceptable reading, with its unit.
    pub at_least: Option<Figure>,
    /// Greatest acceptable reading, with its unit.
    pub at_most: Option<Figure>,
    /// What a reading in range shows; a reading out of range shows the opposite.
    #[serde(default)]
    pub shows: Cube,
    /// How many further readings may be taken before `otherwise`; none without it.
    #[serde(default)]
    pub retests: u32,
}

/// A guaranteed time (`for`), or a wait until conditions are so (`until`) with a `limit`, or both.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Wait {
    /// Time that surely passes, with its unit.
    #[serde(rename = "for")]
    pub time: Option<Figure>,
    /// What is waited for.
    #[serde(default)]
    pub until: Cube,
    /// Longest wait for it, with its unit.
    pub limit: Option<Figure>,
    /// What happens meanwhile, as a sentence.
    pub why: Option<String>,
}

/// A hold point.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Hold {
    /// The role that releases it.
    pub released_by: Name,
    /// What that person makes sure of, imperative.
    pub check: String,
}

/// One pass over a group of fasteners.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Fasten {
    /// The group.
    pub fasteners: Name,
    /// What is done to each.
    pub pass: Pass,
}

/// What one pass does to each fastener.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Pass {
    /// Turned until it is seated.
    Seat,
    /// Tightened to the torque.
    Tighten,
    /// Loosened, in the reverse order.
    Loosen,
}

/// Where an answer goes, and what it shows.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(untagged)]
pub enum Answer {
    /// Just where it goes.
    Goes(Target),
    /// What the answer shows to be true, and where it goes.
    Shows(Outcome),
}

/// What an answer shows, and where it goes.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Outcome {
    /// What the answer shows to be true of the machine.
    pub shows: Cube,
    /// Where it goes.
    pub then: Target,
}

impl Answer {
    /// Where the answer goes.
    #[must_use]
    pub fn target(&self) -> &Target {
        match self {
            Self::Goes(target) => target,
            Self::Shows(outcome) => &outcome.then,
        }
    }
}
