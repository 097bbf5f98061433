//! What is sure within one step: by what it needs, and by what it has done so far.

use machine::{Conjunct, Cube, Effect, Machine, Node, VarId};
use std::collections::BTreeMap;

/// The values that conditions may have; any of theirs where nothing is said of them.
#[derive(Clone, Default)]
pub(super) struct Known(BTreeMap<VarId, u64>);

impl Known {
    pub(super) fn by_needs(node: &Node) -> Self {
        let mut known = Self::default();
        for need in &node.needs {
            *known.0.entry(need.conjunct.var).or_insert(u64::MAX) &= need.conjunct.set;
        }
        known
    }

    /// Whether all of it may be so.
    pub(super) fn may_be(&self, cube: &Cube) -> bool {
        cube.0.iter().all(|part| self.0.get(&part.var).is_none_or(|set| set & part.set != 0))
    }

    /// The conditions that an effect changes, with the evidence that may end because of it.
    pub(super) fn apply(&mut self, machine: &Machine, effect: Effect) -> Vec<VarId> {
        match effect {
            Effect::Write(Conjunct { var, set })
            | Effect::Look(Conjunct { var, set })
            | Effect::Find(Conjunct { var, set }) => {
                self.0.insert(var, set);
            }
            Effect::Open(var) | Effect::Lose(var) => {
                self.0.remove(&var);
            }
            Effect::Verify(_) => return Vec::new(),
        }
        let mut changed = vec![effect.var()];
        loop {
            let lost = machine.lost_when.iter().find(|lost| {
                !changed.contains(&lost.var)
                    && changed.iter().any(|&var| lost.when.mentions(var))
                    && self.may_be(&lost.when)
            });
            let Some(lost) = lost else { return changed };
            self.0.remove(&lost.var);
            changed.push(lost.var);
        }
    }
}
