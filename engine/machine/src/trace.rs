//! A run a person can act out, value by value; and its replay through the step function.

use crate::bits::Bits;
use crate::layout::VarId;
use crate::machine::Machine;
use crate::node::{DONE, NodeId, Place};
use crate::state::State;
use std::fmt;

/// What goes wrong at the end of a trace.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Violation {
    /// A precondition of a node is not met: an index into its needs.
    Need {
        /// The node.
        node: NodeId,
        /// Which of its needs.
        need: usize,
    },
    /// A rule is broken: an index into the machine's rules.
    Rule(usize),
    /// A promise is not kept at done: an index into the machine's promises.
    Promise(usize),
    /// Work stopped at this node cannot be brought to the state in which it may be left. That there is no plan is for
    /// the planner to say; a replay makes sure of the way there.
    Stuck(NodeId),
}

/// One move of a run.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Move {
    /// Where it starts.
    pub place: Place,
    /// Which outcome of the node is taken.
    pub outcome: usize,
    /// The value of every variable afterwards: one bit a field.
    pub after: Bits,
}

/// A run from a start, one value a variable, to what goes wrong.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trace {
    /// The value of every variable at the start: one bit a field.
    pub start: Bits,
    /// The moves.
    pub moves: Vec<Move>,
    /// Where the run ends.
    pub end: Place,
    /// What goes wrong there.
    pub violation: Violation,
}

impl Trace {
    /// The values at the end.
    #[must_use]
    pub fn last(&self) -> &Bits {
        self.moves.last().map_or(&self.start, |last| &last.after)
    }
}

/// Why a trace is not a run of the machine. The proof never gives one that fails: if it does, the fault is ours.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReplayError {
    /// The move, from 0; the number of moves for the end.
    pub at: usize,
    /// What does not fit.
    pub what: &'static str,
}

impl fmt::Display for ReplayError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "move {} of the trace cannot be replayed: {}", self.at + 1, self.what)
    }
}

impl std::error::Error for ReplayError {}

/// The states a trace goes through, the start first.
pub type Replay = Vec<State>;

impl Machine {
    /// Runs a trace through the step function and makes sure that it ends in its violation.
    ///
    /// # Errors
    /// At the first move that the machine cannot make, or if nothing goes wrong at the end.
    pub fn replay(&self, trace: &Trace) -> Result<Replay, ReplayError> {
        let fault = |at: usize, what: &'static str| Err(ReplayError { at, what });
        let Some(mut state) = self.pinned(self.start(), &trace.start) else {
            return fault(0, "the procedure cannot start so");
        };
        let mut values = trace.start.clone();
        let mut states = vec![state.clone()];
        let mut changed: Vec<VarId> = self.layout.ids().collect();
        for (at, step) in trace.moves.iter().enumerate() {
            if state.place != step.place {
                return fault(at, "it starts elsewhere");
            }
            if self
                .node(state.place.node)
                .needs
                .iter()
                .any(|need| values.field(&self.layout, need.conjunct.var) & !need.conjunct.set != 0)
            {
                return fault(at, "a precondition fails before the end");
            }
            if !self.open(state.place).any(|open| open == step.outcome) {
                return fault(at, "that way is not open");
            }
            let next = self.step(&state, step.outcome).into_iter().find_map(|next| {
                let settled = self.settling.iter().all(|settling| {
                    next.changed.contains(&settling.var)
                        || values.field(&self.layout, settling.var) & settling.from != 0
                        || step.after.field(&self.layout, settling.var) & settling.from == 0
                });
                let pinned = self.pinned(next.state, &step.after)?;
                settled.then_some((pinned, next.changed))
            });
            let Some((next, written)) = next else {
                return fault(at, "it does not lead to those values");
            };
            values.clone_from(&step.after);
            changed = written;
            state = next;
            states.push(state.clone());
        }
        let end = trace.moves.len();
        if state.place != trace.end {
            return fault(end, "it ends elsewhere");
        }
        let inside = |cube: &crate::Cube| cube.holds(&self.layout, &values);
        let wrong = match trace.violation {
            Violation::Need { node, need } => {
                let conjunct = self.node(node).needs[need].conjunct;
                state.place.node == node && values.field(&self.layout, conjunct.var) & !conjunct.set != 0
            }
            Violation::Rule(rule) => {
                let when = &self.rules[rule].when;
                inside(when) && changed.iter().any(|&var| when.mentions(var))
            }
            Violation::Promise(promise) => {
                let conjunct = self.promises[promise].conjunct;
                state.place.node == DONE && values.field(&self.layout, conjunct.var) & !conjunct.set != 0
            }
            Violation::Stuck(node) => state.place.node == node,
        };
        if wrong { Ok(states) } else { fault(end, "nothing goes wrong at its end") }
    }

    /// The part of a state with exactly these values; what settles keeps the values it may still take by itself.
    fn pinned(&self, mut state: State, values: &Bits) -> Option<State> {
        for var in self.layout.ids() {
            let value = values.field(&self.layout, var);
            if value.count_ones() != 1 || state.bits.field(&self.layout, var) & value == 0 {
                return None;
            }
            if !self.settling.iter().any(|settling| settling.var == var) {
                state.bits.set_field(&self.layout, var, value);
            }
        }
        Some(state)
    }
}
