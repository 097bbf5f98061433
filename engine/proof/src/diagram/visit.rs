//! What the states of a set violate at a node, and where they go on: the same as for a box, for all of them at once.

use super::space::{Clocks, Space};
use super::store::{NONE, Root};
use crate::meter::BudgetExhausted;
use crate::obligation::Obligation;
use machine::{Conjunct, DONE, Guard, NodeId, NodeKind};
use std::collections::BTreeMap;

/// What was found at a node.
pub(crate) struct Visit {
    /// Each obligation violated, with the states at the node from which it is.
    pub(crate) violated: BTreeMap<Obligation, Root>,
    /// Whether the act of the node may change what it sets.
    pub(crate) changes: bool,
    /// Where the states go on.
    pub(crate) ways: Vec<Way>,
}

/// One part of an outcome.
pub(crate) struct Way {
    pub(crate) outcome: usize,
    /// Which of the steps that the machine gives for it.
    pub(crate) part: usize,
    pub(crate) to: NodeId,
    pub(crate) clocks: Clocks,
    pub(crate) root: Root,
}

impl Space<'_> {
    /// Looks at a set of states with equal clocks at a node.
    pub(crate) fn visit(
        &mut self,
        id: NodeId,
        clocks: &Clocks,
        root: Root,
    ) -> Result<Visit, BudgetExhausted> {
        let mut visit = Visit { violated: BTreeMap::new(), changes: false, ways: Vec::new() };
        if id == DONE {
            for (at, promise) in self.machine.promises.iter().enumerate() {
                let broken = self.outside(root, promise.conjunct)?;
                blame(&mut visit, Obligation::Promise(at), broken, self)?;
            }
            return Ok(visit);
        }
        let node = self.machine.node(id);
        for set in node.outcomes.first().map_or(&[][..], |outcome| &outcome.sets) {
            visit.changes |= self.outside(root, *set)? != NONE;
        }
        for (need, wanted) in node.needs.iter().enumerate() {
            let unmet = self.outside(root, wanted.conjunct)?;
            blame(&mut visit, Obligation::Need { node: id, need }, unmet, self)?;
        }
        let met = self.met(id, root)?;
        if met == NONE {
            return Ok(visit);
        }
        if node.kind == NodeKind::Ask {
            let mut rest = met;
            for outcome in &node.outcomes {
                rest = match &outcome.guard {
                    Guard::Is(cube) => self.without(rest, cube)?,
                    Guard::Always | Guard::IsNot(_) => NONE,
                };
            }
            let unanswered = self.on_arrival(id, root, rest)?;
            blame(&mut visit, Obligation::Answered(id), unanswered, self)?;
        }
        for outcome in 0..node.outcomes.len() {
            let open = self.open(met, id, outcome)?;
            if open != NONE {
                self.leave(id, clocks, (root, open), outcome, &mut visit)?;
            }
        }
        Ok(visit)
    }

    /// The part of a set that meets the preconditions of a node.
    pub(crate) fn met(&mut self, id: NodeId, root: Root) -> Result<Root, BudgetExhausted> {
        let met = self.restrict(root, self.machine.node(id).needs.iter().map(|need| need.conjunct))?;
        self.settled(met)
    }

    fn outside(&mut self, root: Root, of: Conjunct) -> Result<Root, BudgetExhausted> {
        let set = self.machine.layout.all(of.var) & !of.set;
        self.restrict(root, [Conjunct { set, ..of }])
    }

    fn leave(
        &mut self,
        id: NodeId,
        clocks: &Clocks,
        (arrived, open): (Root, Root),
        outcome: usize,
        visit: &mut Visit,
    ) -> Result<(), BudgetExhausted> {
        for (part, step) in self.steps(id, clocks, outcome).iter().enumerate() {
            let mut after = self.after(open, id, outcome, step)?;
            if after == NONE {
                continue;
            }
            let mut allowed = after;
            for rule in self.machine.broken(&step.state, &step.changed) {
                let when = &self.machine.rules[rule].when;
                let broken = self.before(open, step, when)?;
                let broken = self.on_arrival(id, arrived, broken)?;
                blame(visit, Obligation::Rule { rule, by: Some(id) }, broken, self)?;
                allowed = self.without(allowed, when)?;
            }
            if allowed != after {
                after = self.settled(allowed)?;
            }
            if after == NONE {
                continue;
            }
            let to = self.machine.node(id).outcomes[outcome].to.node;
            let clocks = self.clocks(after, &step.state.clocks)?;
            let (root, clocks) = self.project_dead(after, &clocks, to)?;
            visit.ways.push(Way { outcome, part, to, clocks, root });
        }
        Ok(())
    }

    /// Without the states that are in a known set with clocks that allow no less. What then falls is there again.
    pub(crate) fn unknown(
        &mut self,
        root: Root,
        clocks: &Clocks,
        known: &BTreeMap<Clocks, Root>,
        strictly: bool,
    ) -> Result<Root, BudgetExhausted> {
        let mut rest = root;
        for (other, &root) in known {
            let allows = other.iter().zip(clocks).all(|(other, mine)| other <= mine);
            if allows && !(strictly && other == clocks) {
                rest = self.store.minus(rest, root)?;
            }
        }
        self.settled(rest)
    }
}

fn blame(
    visit: &mut Visit,
    what: Obligation,
    states: Root,
    space: &mut Space<'_>,
) -> Result<(), BudgetExhausted> {
    if states != NONE {
        let before = visit.violated.get(&what).copied().unwrap_or(NONE);
        let all = space.store.union(before, states)?;
        visit.violated.insert(what, all);
    }
    Ok(())
}
