//! A run a person can act out, value by value; and its replay through the step function.

use crate::bits::Bits;
use crate::cube::{Conjunct, Cube};
use crate::layout::VarId;
use crate::machine::Machine;
use crate::node::{DONE, Guard, Need, NodeId, Place};
use crate::state::AbstractState;
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
    /// A question has no answer for what is so, or for what a settling condition may become while it is asked.
    Unanswered(NodeId),
    /// An interruption at this node leads where nothing was proved, because nobody can tell whether a condition is as it
    /// was. That this is so is for the exploration to say; a replay makes sure of the way there.
    Lapsed {
        /// The node.
        node: NodeId,
        /// The condition.
        var: VarId,
    },
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

impl Machine {
    /// Runs a trace through the step function and makes sure that it ends in its violation.
    ///
    /// # Errors
    /// At the first move that the machine cannot make, or if nothing goes wrong at the end.
    pub fn replay(&self, trace: &Trace) -> Result<(), ReplayError> {
        let fault = |at: usize, what: &'static str| Err(ReplayError { at, what });
        let Some(start) = self.pinned(&self.start(), &trace.start) else {
            return fault(0, "the procedure cannot start so");
        };
        let mut place = start.place;
        let mut values = &trace.start;
        let mut runs = vec![(start, self.layout.ids().collect::<Vec<_>>())];
        for (at, step) in trace.moves.iter().enumerate() {
            if place != step.place {
                return fault(at, "it starts elsewhere");
            }
            let fails = |need: &Need| values.field(&self.layout, need.conjunct.var) & !need.conjunct.set != 0;
            if self.node(place.node).needs.iter().any(fails) {
                return fault(at, "a precondition fails before the end");
            }
            if !self.open(place).any(|open| open == step.outcome) {
                return fault(at, "that way is not open");
            }
            let states: Vec<AbstractState> = runs.into_iter().map(|(state, _)| state).collect();
            runs = self.follow(&states, values, step.outcome, &step.after);
            let Some((next, _)) = runs.first() else {
                return fault(at, "it does not lead to those values");
            };
            place = next.place;
            values = &step.after;
        }
        let end = trace.moves.len();
        if place != trace.end {
            return fault(end, "it ends elsewhere");
        }
        let outside = |conjunct: Conjunct| values.field(&self.layout, conjunct.var) & !conjunct.set != 0;
        let wrong = match trace.violation {
            Violation::Need { node, need } => {
                place.node == node && outside(self.node(node).needs[need].conjunct)
            }
            Violation::Rule(rule) => {
                let when = &self.rules[rule].when;
                let blamed = runs.iter().any(|(_, changed)| changed.iter().any(|&var| when.mentions(var)));
                blamed && when.holds(&self.layout, values)
            }
            Violation::Promise(promise) => place.node == DONE && outside(self.promises[promise].conjunct),
            Violation::Unanswered(node) => {
                place.node == node && runs.iter().any(|(state, _)| self.unanswered(state).is_some())
            }
            Violation::Stuck(node) | Violation::Lapsed { node, .. } => place.node == node,
        };
        if wrong { Ok(()) } else { fault(end, "nothing goes wrong at its end") }
    }

    /// The part of a state that meets the preconditions of its node, a question, and has no answer there. Answers that show
    /// nothing are open whatever is true.
    #[must_use]
    pub fn unanswered(&self, state: &AbstractState) -> Option<Bits> {
        let node = self.node(state.place.node);
        let needs = Cube(node.needs.iter().map(|need| need.conjunct).collect());
        let mut rest = vec![self.narrow(state, &needs)?.bits];
        for outcome in &node.outcomes {
            match &outcome.guard {
                Guard::Is(cube) => {
                    rest = rest.iter().flat_map(|bits| cube.outside(&self.layout, bits)).collect();
                }
                Guard::Always | Guard::IsNot(_) => return None,
            }
        }
        rest.into_iter().next()
    }

    /// Every state with the values `after` that an outcome leads to from states with the values `before`, with what the
    /// step wrote: the same values may come about in several ways, as when evidence ends and happens to stay.
    #[must_use]
    pub fn follow(
        &self,
        states: &[AbstractState],
        before: &Bits,
        outcome: usize,
        after: &Bits,
    ) -> Vec<(AbstractState, Vec<VarId>)> {
        let steps = states.iter().flat_map(|state| self.step(state, outcome));
        steps
            .filter(|next| {
                self.layout.ids().filter(|var| next.changed.binary_search(var).is_err()).all(|var| {
                    let (old, new) = (before.field(&self.layout, var), after.field(&self.layout, var));
                    old == new || self.settling.iter().any(|s| (s.var, s.from, s.to) == (var, old, new))
                })
            })
            .filter_map(|next| Some((self.pinned(&next.state, after)?, next.changed)))
            .collect()
    }

    /// The part of a state with exactly these values; a settling value may still fall.
    #[must_use]
    pub fn pinned(&self, state: &AbstractState, values: &Bits) -> Option<AbstractState> {
        let cube = self.layout.ids().map(|var| Conjunct { var, set: values.field(&self.layout, var) });
        self.narrow(state, &Cube(cube.collect()))
    }
}
