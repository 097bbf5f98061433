//! Why nothing is claimed.

use crate::meter::BudgetExhausted;
use machine::{NodeId, VarId};

/// Why nothing is claimed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unclaimed {
    /// The budget ended first.
    TooLarge,
    /// Work cannot always be taken up again: what was interrupted more than once, or at a question, may come to something wrong.
    Interrupted {
        /// Where it was interrupted first.
        node: NodeId,
        /// What nobody could make sure of again.
        var: VarId,
    },
}

impl From<BudgetExhausted> for Unclaimed {
    fn from(BudgetExhausted: BudgetExhausted) -> Self {
        Self::TooLarge
    }
}
