//! A run a person can act out, value by value; and its replay through the step function.

use crate::bits::Bits;
use crate::cube::{Conjunct, Cube};
use crate::layout::VarId;
use crate::machine::Machine;
use crate::node::{Choice, DONE, Effect, Need, NodeId, Place, STOP};
use crate::state::AbstractState;
use crate::step::Next;
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
    /// What nobody can see is required at a start by hand, and is not so: an index into the machine's `unseen`.
    Unseen(usize),
    /// A rule is broken: an index into the machine's rules.
    Rule(usize),
    /// A rule was found broken, and something else than ending it is done at this node.
    Unmended(NodeId),
    /// A promise is not kept at done: an index into the machine's promises.
    Promise(usize),
    /// A question has no answer for what is so, or for what a settling condition may become while it is asked.
    Unanswered(NodeId),
    /// After an interruption at this node nobody can tell a condition that is relied on. That this is so is for the
    /// exploration to say; a replay makes sure of the way there.
    Lapsed {
        /// The node.
        node: NodeId,
        /// The condition.
        var: VarId,
    },
    /// Work stopped at this node cannot be brought to the state in which it may be left. That there is no plan is for
    /// the planner to say; a replay makes sure of the way there.
    Stuck(NodeId),
    /// The same, once this node was left for the stop.
    StuckAfter(NodeId),
}

/// One move of a run.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Move {
    /// Where it starts.
    pub place: Place,
    /// Which outcome of the node is taken.
    pub outcome: usize,
    /// Whether it is a look that contradicts the record: then what is looked at, and what hangs on it, is not as it was
    /// believed to be before.
    pub surprise: bool,
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
    /// The records are those that the moves lead to, whatever the values; each value has to be possible by its record, and
    /// changes only where it is written or falls.
    ///
    /// # Errors
    /// At the first move that the machine cannot make, or if nothing goes wrong at the end.
    pub fn replay(&self, trace: &Trace) -> Result<(), ReplayError> {
        let fault = |at: usize, what: &'static str| Err(ReplayError { at, what });
        let start = self.start();
        if !self.is_possible(&start, &trace.start) {
            return fault(0, "the procedure cannot start so");
        }
        // What nobody can see is required all the same: the run goes on where it is so.
        let start =
            if matches!(trace.violation, Violation::Unseen(_)) { Some(start) } else { self.met_at_start() };
        let Some(start) = start else { return fault(0, "the procedure cannot start so") };
        let mut place = start.place;
        let mut values = &trace.start;
        let mut records = vec![start];
        let mut last: Vec<Next> = Vec::new();
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
            let needs = self.needs(place);
            records = records.iter().filter_map(|record| self.narrow(record, &needs)).collect();
            last = self.follow(&records, values, step);
            // Only the last move may break a rule.
            let ends = at + 1 == trace.moves.len() && matches!(trace.violation, Violation::Rule(_));
            last.retain(|next| next.broken.is_empty() != ends);
            let Some(next) = last.first() else { return fault(at, "it does not lead to those values") };
            place = next.state.place;
            values = &step.after;
            records = last.iter().map(|next| next.state.clone()).collect();
        }
        let end = trace.moves.len();
        if place != trace.end {
            return fault(end, "it ends elsewhere");
        }
        let is_wrong = self.goes_wrong(trace, &records, &last);
        if is_wrong { Ok(()) } else { fault(end, "nothing goes wrong at its end") }
    }

    fn goes_wrong(&self, trace: &Trace, records: &[AbstractState], last: &[Next]) -> bool {
        let (place, values) = (trace.end, trace.last());
        let outside = |conjunct: Conjunct| values.field(&self.layout, conjunct.var) & !conjunct.set != 0;
        let left = || trace.moves.last().map(|step| self.act_of(step.place.node));
        match trace.violation {
            Violation::Need { node, need } => {
                place.node == node && outside(self.node(node).needs[need].conjunct)
            }
            Violation::Unseen(at) => trace.moves.is_empty() && outside(self.unseen[at]),
            Violation::Rule(rule) if trace.moves.is_empty() => self.broken_at_start().contains(&rule),
            Violation::Rule(rule) => {
                last.iter().any(|next| next.broken.contains(&rule))
                    && self.rules[rule].when.holds(&self.layout, values)
            }
            Violation::Unmended(DONE) => {
                place.node == DONE && records.iter().any(|record| !self.found(record).is_empty())
            }
            Violation::Unmended(node) => left() == Some(node) && last.iter().any(|next| next.unmended),
            Violation::Promise(promise) => {
                let unkept = |record: &AbstractState| self.unkept(record).contains(&promise);
                place.node == DONE && outside(self.promises[promise].conjunct) && records.iter().any(unkept)
            }
            Violation::Unanswered(node) => {
                place.node == node && records.iter().any(|record| self.unanswered(record).is_some())
            }
            Violation::Stuck(node) | Violation::Lapsed { node, .. } => place.node == node,
            Violation::StuckAfter(node) => place.node == STOP && left() == Some(node),
        }
    }

    /// The part of a record that meets the preconditions of its node, a question, and has no answer there, where every answer
    /// shows something.
    #[must_use]
    pub fn unanswered(&self, state: &AbstractState) -> Option<Bits> {
        let node = self.node(state.place.node);
        let mut rest = vec![self.narrow(state, &self.needs(state.place))?.bits];
        for outcome in &node.outcomes {
            if !matches!(outcome.choice, Choice::Answer(_)) {
                continue;
            }
            let shown = |effect: &Effect| match *effect {
                Effect::Look(shown) => Some(shown),
                Effect::Write(_)
                | Effect::Open(_)
                | Effect::Find(_)
                | Effect::Lose(_)
                | Effect::Verify(_) => None,
            };
            let shows = Cube(outcome.effects.iter().filter_map(shown).collect());
            if shows.0.is_empty() {
                return None;
            }
            rest = rest.iter().flat_map(|bits| shows.outside(&self.layout, bits)).collect();
        }
        rest.into_iter().next()
    }

    /// Everything that a move leads to from one of the records, with the values before and after: what was not written is as
    /// before, or fell. The same values may come about in several ways.
    #[must_use]
    pub fn follow(&self, records: &[AbstractState], before: &Bits, step: &Move) -> Vec<Next> {
        let all = records.iter().flat_map(|record| self.step(record, step.outcome));
        all.filter(|next| {
            next.surprise == step.surprise
                && self.is_possible(&next.state, &step.after)
                && self.layout.ids().filter(|var| next.changed.binary_search(var).is_err()).all(|var| {
                    let (old, new) = (before.field(&self.layout, var), step.after.field(&self.layout, var));
                    old == new || self.settling.iter().any(|s| (s.var, s.from, s.to) == (var, old, new))
                })
        })
        .collect()
    }

    /// Whether a record allows these values, one a variable.
    #[must_use]
    pub fn is_possible(&self, state: &AbstractState, values: &Bits) -> bool {
        self.layout.ids().all(|var| {
            let value = values.field(&self.layout, var);
            value.count_ones() == 1 && value & !state.bits.field(&self.layout, var) == 0
        })
    }
}
