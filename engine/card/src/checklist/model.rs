//! A checklist as plain data.

use crate::page::{Identity, SignalWord};
use serde::Serialize;

/// What every checklist says of itself.
pub const FULL: &str = "The card has every step in full, with its readings, figures and warnings. A warning here holds for all \
    lines below it, to the end of its pause point.";

/// A checklist as plain data.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Checklist {
    /// What it is, and whether it is approved.
    pub identity: Identity,
    /// What was proved, and what that takes for granted; none if nothing was.
    pub checked: Option<String>,
    /// How looks are answered.
    pub looks: String,
    /// Whose instructions come first.
    pub defer: String,
    /// The hazards in one line each, gravest first: the card has them in full.
    pub hazards: Vec<Warned>,
    /// What is looked at before the first line.
    pub before: Vec<Item>,
    /// The steps by pause points.
    pub groups: Vec<Vec<Item>>,
    /// How the machine is handed on.
    pub after: Vec<Item>,
    /// The line that ends it.
    pub complete: String,
}

/// One line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Item {
    /// The number of the step; empty before and after the steps, and after the first question of a step.
    pub number: String,
    /// What is done or asked.
    pub challenge: String,
    /// What is wanted: a state, a value, or a way on.
    pub response: String,
    /// The gravest warning before the step, if it does not stand before an earlier line of the pause point.
    pub warning: Option<Warned>,
    /// Whether the work pauses here of itself.
    pub pauses: bool,
}

/// A warning in one short line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Warned {
    /// Its signal word.
    pub word: SignalWord,
    /// Whether the safety alert symbol stands before it.
    pub symbol: bool,
    /// What the danger is.
    pub hazard: String,
}
