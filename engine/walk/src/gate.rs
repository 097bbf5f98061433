//! Looks in a row, then waits, before a walk goes on.

use crate::event::{Because, Look};
use machine::{AbstractState, Conjunct, VarId};

/// Looks in a row, then waits.
#[derive(Clone, Debug)]
pub(crate) struct Gate {
    /// The record that was proved where the walk stands.
    pub(crate) goal: AbstractState,
    /// The same with all that was seen here against it since, and put right.
    pub(crate) seen: AbstractState,
    pub(crate) looks: Vec<GateLook>,
    /// Conditions that nobody sees and that are waited for in full, with the time in milliseconds.
    pub(crate) waits: Vec<(VarId, u64)>,
    /// What nobody can tell any more: with any of it the gate does not open.
    pub(crate) lost: Vec<VarId>,
}

/// One look of a gate.
#[derive(Clone, Debug)]
pub(crate) struct GateLook {
    pub(crate) due: Conjunct,
    pub(crate) because: Because,
    /// The last answer since the gate, or something put right, asked for it.
    pub(crate) answer: Option<Look>,
    /// How many answers were not yes.
    pub(crate) failed: u8,
    /// Whether something was put right for it.
    pub(crate) is_restored: bool,
    /// Whether it was asked once more because what was seen or put right since had undone the answer.
    pub(crate) is_repeated: bool,
}

impl GateLook {
    pub(crate) fn new(due: Conjunct, because: Because) -> Self {
        Self { due, because, answer: None, failed: 0, is_restored: false, is_repeated: false }
    }

    /// The same look, asked anew; one that was denied twice stays so, whoever asks.
    pub(crate) fn anew(&self) -> Self {
        let denied = self.answer.filter(|answer| *answer != Look::Yes && self.failed > 1);
        Self { answer: denied, ..self.clone() }
    }

    pub(crate) fn is_open(&self) -> bool {
        self.answer == Some(Look::Yes)
    }
}

/// What a gate asks for now.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Next {
    /// This look.
    Look(usize),
    /// This look was not yes.
    Shut(usize),
    /// A wait, for so long.
    Wait(VarId, u64),
    /// Nothing can open it.
    Lost(VarId),
}

impl Gate {
    pub(crate) fn new(goal: AbstractState, looks: Vec<GateLook>) -> Self {
        Self { seen: goal.clone(), goal, looks, waits: Vec::new(), lost: Vec::new() }
    }
}
