//! What comes of a move.

use crate::node::{Choice, Duty, Effect, Goto, Guard, Outcome};

/// What a look does and where it leads, beside what it asks.
pub(super) struct Look<'e> {
    /// What it leaves and disturbs where it passes.
    pub(super) effects: &'e [Effect],
    /// What it disturbs where it does not.
    pub(super) disturbed: &'e [Effect],
    /// Whether a second person verifies that it passed.
    pub(super) verified: bool,
    pub(super) then: Goto,
    pub(super) otherwise: Goto,
}

pub(super) fn outcome(choice: Choice, effects: Vec<Effect>, to: Goto) -> Outcome {
    Outcome { choice, guard: Guard::Always, waits: Vec::new(), effects, duty: Duty::Nothing, to }
}

pub(super) fn done(effects: Vec<Effect>, to: Goto) -> Outcome {
    outcome(Choice::Done, effects, to)
}
