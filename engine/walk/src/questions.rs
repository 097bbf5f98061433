//! What a step asks about.

use crate::state::Walk;
use machine::{Conjunct, NodeKind};

/// Whether the node finds its conditions out afresh, whatever was believed of them.
pub(crate) fn is_fresh(walk: &Walk) -> bool {
    walk.node().outcomes.iter().any(|outcome| !outcome.havoc.is_empty())
}

/// The conditions that the node asks about.
pub(crate) fn questions(walk: &Walk) -> &[Conjunct] {
    match &walk.node().kind {
        NodeKind::Confirm(cube) | NodeKind::RepeatUntil { until: cube, .. } | NodeKind::Wait(cube) => &cube.0,
        _ => &[],
    }
}

pub(crate) fn next_question(walk: &Walk) -> Option<Conjunct> {
    questions(walk).iter().find(|conjunct| !walk.looked.contains(&conjunct.var)).copied()
}

pub(crate) fn question(walk: &Walk, condition: &str) -> Option<Conjunct> {
    let var = walk.machine.layout.find(condition)?;
    questions(walk).iter().find(|conjunct| conjunct.var == var).copied()
}
