//! Looks in a row, then waits, before a walk goes on.

use crate::event::{Because, Look};
use machine::{Conjunct, VarId};
use std::collections::BTreeSet;

/// Looks in a row, then waits.
#[derive(Clone, Debug)]
pub(crate) struct Gate {
    pub(crate) looks: Vec<GateLook>,
    /// Conditions that nobody sees and that are waited for in full, with the time in milliseconds.
    pub(crate) waits: Vec<(VarId, u64)>,
    /// What nobody can tell any more: with any of it the gate does not open.
    pub(crate) lost: Vec<VarId>,
    /// What was said, ended by what was seen since, and cannot be said once more: the same.
    pub(crate) given_up: BTreeSet<VarId>,
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

    /// Whether it was answered by yes.
    pub(crate) fn is_yes(&self) -> bool {
        self.answer == Some(Look::Yes)
    }

    /// Whether it was answered otherwise.
    pub(crate) fn is_no(&self) -> bool {
        self.answer.is_some() && !self.is_yes()
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
    pub(crate) fn new(looks: Vec<GateLook>) -> Self {
        Self { looks, waits: Vec::new(), lost: Vec::new(), given_up: BTreeSet::new() }
    }
}
