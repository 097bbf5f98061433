//! What plans for stopping are made of.

use machine::VarId;

/// One thing that a person does on the way to leaving the machine. Steps follow one another; the ways of a look lead on to
/// what follows it, unless they end.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PlanStep {
    /// A restoring action: an index into the machine's.
    Act(usize),
    /// Waiting so many milliseconds, for a condition that settles.
    Wait {
        /// The condition.
        var: VarId,
        /// How long.
        millis: u64,
    },
    /// A look at what is not known: a way for each set of values, which together are all it may have.
    Look {
        /// The condition.
        var: VarId,
        /// The values, one bit each, and what is then done.
        ways: Vec<(u64, Vec<PlanStep>)>,
        /// The way for whoever cannot tell which it is, as an index; none where each way hangs on that.
        untold: Option<usize>,
    },
    /// A look at what should be so by now.
    Again {
        /// The condition.
        var: VarId,
        /// The values of which it should have one.
        values: u64,
        /// What is done if it has none of them.
        failed: Vec<PlanStep>,
    },
    /// The plan for the whole of the equipment, from its beginning.
    Universal,
    /// The machine cannot be brought to rest from here.
    Cannot,
}

/// How many moves the longest way through the steps has: acts, waits and looks, without what should not happen.
#[must_use]
pub fn longest(steps: &[PlanStep]) -> usize {
    let of = |step: &PlanStep| match step {
        PlanStep::Act(_) | PlanStep::Wait { .. } | PlanStep::Again { .. } => 1,
        PlanStep::Look { ways, .. } => 1 + ways.iter().map(|(_, steps)| longest(steps)).max().unwrap_or(0),
        PlanStep::Universal | PlanStep::Cannot => 0,
    };
    steps.iter().map(of).sum()
}
