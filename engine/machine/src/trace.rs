//! A run a person can act out, with what the record says after each move; and its replay through the step function.

use crate::bits::Bits;
use crate::cube::{Conjunct, Cube};
use crate::layout::{Origin, VarId};
use crate::machine::Machine;
use crate::node::{Choice, DONE, Effect, NodeId, NodeKind, Place, STOP};
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
    /// For every variable, the values that it may have afterwards by the record.
    pub after: Bits,
}

/// A run from a start, with one value for each variant, to what goes wrong.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trace {
    /// For every variable, the values that it may have at the start by the record.
    pub start: Bits,
    /// The moves.
    pub moves: Vec<Move>,
    /// Where the run ends.
    pub end: Place,
    /// What goes wrong there.
    pub violation: Violation,
}

impl Trace {
    /// What may be so at the end.
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
    /// The record with which a run with these variants starts: one value of each. What nobody can see and is required all the
    /// same is so, unless that is what goes wrong.
    #[must_use]
    pub fn start_of(&self, variants: &Bits, violation: Violation) -> Option<AbstractState> {
        let is_variant = |var: &VarId| self.layout.var(*var).origin == Origin::Variant;
        let of = |var| Conjunct { var, set: variants.field(&self.layout, var) };
        let variants = Cube(self.layout.ids().filter(is_variant).map(of).collect());
        if variants.0.iter().any(|conjunct| conjunct.set.count_ones() != 1) {
            return None;
        }
        let start =
            if matches!(violation, Violation::Unseen(_)) { self.start() } else { self.met_at_start()? };
        self.narrow(&start, &variants)
    }

    /// Runs a trace through the step function and makes sure that it ends in its violation.
    ///
    /// # Errors
    /// At the first move that the machine cannot make, or if nothing goes wrong at the end.
    pub fn replay(&self, trace: &Trace) -> Result<(), ReplayError> {
        let fault = |at: usize, what: &'static str| Err(ReplayError { at, what });
        let start = self.start_of(&trace.start, trace.violation).filter(|start| start.bits == trace.start);
        let Some(start) = start else { return fault(0, "the procedure cannot start so") };
        let mut place = start.place;
        let mut records = vec![start];
        let mut last: Vec<Next> = Vec::new();
        for (at, step) in trace.moves.iter().enumerate() {
            if place != step.place {
                return fault(at, "it starts elsewhere");
            }
            if !self.open(place).any(|open| open == step.outcome) {
                return fault(at, "that way is not open");
            }
            last = records.iter().flat_map(|record| self.follow(record, step.outcome)).collect();
            if last.is_empty() {
                return fault(at, "a precondition is surely not met");
            }
            // Only the last move may break a rule.
            let is_last = at + 1 == trace.moves.len();
            let breaks = |next: &Next| match (is_last, trace.violation) {
                (true, Violation::Rule(_)) => !next.broken.is_empty(),
                (true, Violation::Unmended(_)) => true,
                (true | false, _) => next.broken.is_empty(),
            };
            last.retain(|next| {
                breaks(next) && next.surprise == step.surprise && next.state.bits == step.after
            });
            let Some(next) = last.first() else { return fault(at, "it does not lead to those values") };
            place = next.state.place;
            records = last.iter().map(|next| next.state.clone()).collect();
        }
        let end = trace.moves.len();
        if place != trace.end {
            return fault(end, "it ends elsewhere");
        }
        let left = trace.moves.last().map(|step| step.place.node);
        let wrong = last.iter().any(|next| self.goes_wrong(&next.state, left, Some(next), trace.violation));
        let wrong_at_start =
            || records.iter().any(|record| self.goes_wrong(record, None, None, trace.violation));
        if wrong || left.is_none() && wrong_at_start() {
            Ok(())
        } else {
            fault(end, "nothing goes wrong at its end")
        }
    }

    /// Everything that an outcome leads to from a record, as far as that meets the preconditions of its place.
    #[must_use]
    pub fn follow(&self, record: &AbstractState, outcome: usize) -> Vec<Next> {
        let met = self.narrow(record, &self.needs(record.place));
        met.iter().flat_map(|record| self.step(record, outcome)).collect()
    }

    /// Whether this goes wrong in a record that was come to by leaving the node `left`, if any. That there is no plan, and that
    /// something is lost by an interruption, is for others to say.
    #[must_use]
    pub fn goes_wrong(
        &self,
        record: &AbstractState,
        left: Option<NodeId>,
        by: Option<&Next>,
        violation: Violation,
    ) -> bool {
        let here = record.place.node;
        match violation {
            Violation::Need { node, need } => here == node && self.unmet(record).contains(&need),
            Violation::Unseen(at) => {
                let Conjunct { var, set } = self.unseen[at];
                left.is_none() && record.bits.field(&self.layout, var) & !set != 0
            }
            Violation::Rule(rule) => match by {
                Some(next) => next.broken.contains(&rule),
                None => self.broken_at_start().contains(&rule),
            },
            Violation::Unmended(DONE) => here == DONE && !self.found(record).is_empty(),
            Violation::Unmended(node) => {
                by.is_some_and(|next| next.unmended) && left.map(|left| self.act_of(left)) == Some(node)
            }
            Violation::Promise(promise) => here == DONE && self.unkept(record).contains(&promise),
            Violation::Unanswered(node) => here == node && self.unanswered(record).is_some(),
            Violation::Stuck(node) | Violation::Lapsed { node, .. } => self.told_at(here) == node,
            Violation::StuckAfter(node) => here == STOP && left.map(|left| self.told_at(left)) == Some(node),
        }
    }

    /// The part of a record that meets the preconditions of its node, a question, and has no answer there, where every answer
    /// shows something.
    #[must_use]
    pub fn unanswered(&self, state: &AbstractState) -> Option<Bits> {
        let node = self.node(state.place.node);
        if node.kind != NodeKind::Ask {
            return None;
        }
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
}
