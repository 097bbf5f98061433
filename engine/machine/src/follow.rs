//! What hangs on what an act writes.

use crate::cube::Cube;
use crate::layout::VarId;
use crate::machine::Machine;
use crate::node::{Choice, Effect, NodeId, NodeKind};
use std::collections::BTreeSet;

/// What may follow from writing some variables.
#[derive(Clone, Debug)]
pub struct Consequences<'m> {
    /// The variables written, with those of evidence that may end because of it.
    pub changed: BTreeSet<VarId>,
    /// What is looked at on the way: causes that may end evidence, and rules that may be broken.
    pub looked_at: Vec<&'m Cube>,
}

impl Machine {
    /// What the act that begins at a node does, for each variant in its own way, and nothing of what that may end; nothing where none
    /// begins. An act of several conditions goes on from node to node.
    #[must_use]
    pub fn effects_of_act(&self, act: NodeId) -> Vec<Effect> {
        let mut effects = Vec::new();
        if self.node(act).kind != NodeKind::Act {
            return effects;
        }
        let (mut due, mut seen) = (vec![act], BTreeSet::from([act]));
        while let Some(at) = due.pop() {
            for outcome in self.node(at).outcomes.iter().filter(|outcome| outcome.choice == Choice::Done) {
                effects.extend(&outcome.effects);
                let next = outcome.to.node;
                let goes_on = matches!(self.node(next).kind, NodeKind::InAct { act: of, .. } if of == act);
                if goes_on && seen.insert(next) {
                    due.push(next);
                }
            }
        }
        effects
    }

    /// The conditions that it writes, opens or disturbs.
    #[must_use]
    pub fn written_by_act(&self, act: NodeId) -> BTreeSet<VarId> {
        self.effects_of_act(act).into_iter().map(Effect::var).collect()
    }

    /// Everything that may follow from writing these variables, whatever their values: evidence that ends may end other
    /// evidence in turn.
    #[must_use]
    pub fn consequences(&self, written: BTreeSet<VarId>) -> Consequences<'_> {
        let mut changed = written;
        let touches = |changed: &BTreeSet<VarId>, cube: &Cube| {
            cube.0.iter().any(|conjunct| changed.contains(&conjunct.var))
        };
        loop {
            let before = changed.len();
            for lost in &self.lost_when {
                if touches(&changed, &lost.when) {
                    changed.insert(lost.var);
                }
            }
            if changed.len() == before {
                break;
            }
        }
        let causes = self.lost_when.iter().map(|lost| &lost.when);
        let rules = self.rules.iter().map(|rule| &rule.when);
        // What comes to be known ends at once where a cause stands over it.
        let watched = changed.iter().flat_map(|&var| self.standing_over(var));
        let looked_at = causes.chain(rules).filter(|cube| touches(&changed, cube)).chain(watched).collect();
        Consequences { changed, looked_at }
    }

    /// The rules that a look of the procedure may find broken, in order.
    #[must_use]
    pub fn findable(&self) -> Vec<usize> {
        let effects = self.nodes.iter().flat_map(|node| &node.outcomes).flat_map(|outcome| &outcome.effects);
        let looked = effects.filter(|effect| !effect.is_act()).map(|effect| effect.var()).collect();
        let changed: Vec<VarId> = self.consequences(looked).changed.into_iter().collect();
        self.speaking_of(&changed).into_owned()
    }
}
