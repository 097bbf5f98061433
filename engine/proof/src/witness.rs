//! Witnesses: whatever a box of a search violates is recorded once, with the first run that comes there, a shortest one.

use crate::concrete::{SearchEdge, SearchNode, trace};
use crate::diagram::{NONE, Root, Space};
use crate::live::LiveVars;
use crate::meter::{BudgetExhausted, Meter};
use crate::obligation::Obligation;
use crate::plan::Planner;
use machine::{AbstractState, Bits, Conjunct, Cube, DONE, Machine, NodeId, ReplayError, Trace, Violation};
use std::collections::{BTreeMap, BTreeSet};

/// Why a search ends before its time.
#[derive(Debug)]
pub(crate) enum Halt {
    /// The budget has ended.
    BudgetExhausted,
    /// A run does not replay: a fault of ours.
    Fault(ReplayError),
}

impl From<BudgetExhausted> for Halt {
    fn from(_: BudgetExhausted) -> Self {
        Self::BudgetExhausted
    }
}

impl From<ReplayError> for Halt {
    fn from(error: ReplayError) -> Self {
        Self::Fault(error)
    }
}

/// What is looked for and what was found.
pub(crate) struct WitnessSearch<'a, 'm> {
    pub(crate) machine: &'a Machine,
    pub(crate) live: &'a LiveVars,
    pub(crate) planner: Option<&'a mut Planner<'m>>,
    pub(crate) meter: &'a Meter<'a>,
    /// The states from which a lapse leads elsewhere.
    pub(crate) lapsed: &'a BTreeMap<Obligation, Root>,
    pub(crate) wanted: BTreeSet<Obligation>,
    pub(crate) found: BTreeMap<Obligation, Trace>,
}

impl WitnessSearch<'_, '_> {
    /// What is wanted of a node that is about its arrival, not about a step.
    pub(crate) fn wanted_at(&self, node: NodeId) -> Vec<Obligation> {
        let at = |obligation: &&Obligation| match obligation {
            Obligation::Stop(at) | Obligation::Resume { node: at, .. } | Obligation::Answered(at) => {
                *at == node
            }
            Obligation::Need { .. } | Obligation::Rule { .. } | Obligation::Promise(_) => false,
        };
        self.wanted.iter().filter(at).copied().collect()
    }

    fn record(
        &mut self,
        tree: &[SearchNode],
        end: &SearchNode,
        of: Obligation,
        bad: &Cube,
        violation: Violation,
    ) -> Result<(), Halt> {
        if self.wanted.remove(&of) {
            self.found.insert(of, trace(self.machine, self.live, tree, end, bad, violation)?);
        }
        Ok(())
    }

    /// The start itself breaks these rules.
    pub(crate) fn start(&mut self, state: &AbstractState) -> Result<(), Halt> {
        let all: Vec<_> = self.machine.layout.ids().collect();
        let root = SearchNode { state: state.clone(), from: Vec::new() };
        for rule in self.machine.broken(state, &all) {
            let when = &self.machine.rules[rule].when;
            self.record(&[], &root, Obligation::Rule { rule, by: None }, when, Violation::Rule(rule))?;
        }
        Ok(())
    }

    /// What the box at this here violates; `violated` is what its step said.
    pub(crate) fn find_violations(
        &mut self,
        mut space: Option<&mut Space<'_>>,
        tree: &[SearchNode],
        at: usize,
        violated: &BTreeSet<Obligation>,
    ) -> Result<(), Halt> {
        let (machine, here) = (self.machine, &tree[at]);
        for &of in violated {
            // A rule is broken after the move, a precondition or promise before one.
            let (conjunct, violation) = match of {
                Obligation::Need { node, need } => {
                    (machine.node(node).needs[need].conjunct, Violation::Need { node, need })
                }
                Obligation::Promise(promise) if here.state.place.node == DONE => {
                    (machine.promises[promise].conjunct, Violation::Promise(promise))
                }
                Obligation::Promise(_)
                | Obligation::Rule { .. }
                | Obligation::Answered(_)
                | Obligation::Stop(_)
                | Obligation::Resume { .. } => continue,
            };
            let wrong = !conjunct.set & machine.layout.all(conjunct.var);
            let bad = Cube(vec![Conjunct { var: conjunct.var, set: wrong }]);
            self.record(tree, here, of, &bad, violation)?;
        }
        for of in self.wanted_at(here.state.place.node) {
            let (bad, violation) = match of {
                Obligation::Stop(node) => (self.stuck(&here.state)?, Violation::Stuck(node)),
                Obligation::Resume { node, var } => {
                    (self.astray(space.as_deref_mut(), of, &here.state)?, Violation::Lapsed { node, var })
                }
                Obligation::Answered(node) => (self.unanswered(&here.state), Violation::Unanswered(node)),
                Obligation::Need { .. } | Obligation::Rule { .. } | Obligation::Promise(_) => continue,
            };
            if let Some(bad) = bad {
                self.record(tree, here, of, &bad, violation)?;
            }
        }
        self.broken_by_leaving(tree, at)
    }

    /// A state of the box from which the machine cannot be left.
    pub(crate) fn stuck(&mut self, state: &AbstractState) -> Result<Option<Cube>, Halt> {
        let Some(planner) = self.planner.as_deref_mut() else { return Ok(None) };
        let leaving = planner.leave_within(state, self.meter)?;
        let layout = &self.machine.layout;
        let of = |bits: &Bits| {
            let fields = planner.relevant().iter().map(|&var| Conjunct { var, set: bits.field(layout, var) });
            Cube(fields.collect())
        };
        Ok(leaving.stuck().map(of))
    }

    /// A state of the box from which a lapse leads where nothing was proved.
    fn astray(
        &self,
        space: Option<&mut Space<'_>>,
        of: Obligation,
        state: &AbstractState,
    ) -> Result<Option<Cube>, Halt> {
        let (Some(space), Some(&lost)) = (space, self.lapsed.get(&of)) else { return Ok(None) };
        let here = space.encode(state)?;
        let here = space.intersect(here, lost)?;
        if here == NONE {
            return Ok(None);
        }
        let layout = &self.machine.layout;
        let first = space.boxes(here, state.place.node, &state.clocks, 1);
        let cube = |part: &AbstractState| {
            let all = layout.ids().map(|var| Conjunct { var, set: part.bits.field(layout, var) });
            Cube(all.filter(|conjunct| conjunct.set != layout.all(conjunct.var)).collect())
        };
        Ok(first.first().map(cube))
    }

    /// A state of the box that meets the preconditions of its question and has no answer.
    fn unanswered(&self, state: &AbstractState) -> Option<Cube> {
        let bits = self.machine.unanswered(state)?;
        let bits = on_arrival(self.machine, state, &bits);
        let layout = &self.machine.layout;
        let all = layout.ids().map(|var| Conjunct { var, set: bits.field(layout, var) });
        Some(Cube(all.filter(|conjunct| conjunct.set != layout.all(conjunct.var)).collect()))
    }

    /// Rules that an outcome of this here breaks.
    fn broken_by_leaving(&mut self, tree: &[SearchNode], at: usize) -> Result<(), Halt> {
        let (machine, here) = (self.machine, &tree[at]);
        let by = here.state.place.node;
        let of_this = |of: &Obligation| matches!(of, Obligation::Rule { by: Some(node), .. } if *node == by);
        if !self.wanted.iter().any(of_this) {
            return Ok(());
        }
        let needs = Cube(machine.node(by).needs.iter().map(|need| need.conjunct).collect());
        let Some(state) = machine.narrow(&here.state, &needs) else { return Ok(()) };
        for outcome in machine.open(state.place) {
            for step in machine.step(&state, outcome) {
                for rule in machine.broken(&step.state, &step.changed) {
                    let link = SearchEdge {
                        parent: at,
                        outcome,
                        origin: on_arrival(machine, &here.state, &step.origin),
                        own: step.state.bits.clone(),
                        changed: step.changed.clone(),
                    };
                    let end = SearchNode { state: step.state.clone(), from: vec![link] };
                    let when = &machine.rules[rule].when;
                    let of = Obligation::Rule { rule, by: Some(by) };
                    self.record(tree, &end, of, when, Violation::Rule(rule))?;
                }
            }
        }
        Ok(())
    }
}

/// The part of what leads through an outcome that meets the node's preconditions on arrival. A settling value that they
/// ask for may have fallen by the time the outcome is taken.
pub(crate) fn on_arrival(machine: &Machine, arrived: &AbstractState, origin: &Bits) -> Bits {
    let layout = &machine.layout;
    let mut origin = origin.clone();
    let needs = || machine.node(arrived.place.node).needs.iter().map(|need| need.conjunct);
    for conjunct in needs() {
        let field = origin.field(layout, conjunct.var);
        let settling = machine.settling.iter().find(|settling| settling.var == conjunct.var);
        let fell = settling.filter(|settling| field & settling.to != 0).map_or(0, |settling| settling.from);
        let may_fall = fell & arrived.bits.field(layout, conjunct.var);
        origin.set_field(layout, conjunct.var, field | may_fall);
    }
    // Several needs may speak of one condition: it meets all of them.
    for conjunct in needs() {
        let field = origin.field(layout, conjunct.var);
        origin.set_field(layout, conjunct.var, field & conjunct.set);
    }
    origin
}
