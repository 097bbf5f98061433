//! What the caller knows of a procedure and the documents do not say.

use super::model::StopPlan;
use super::step::StepBox;
use crate::count;
use std::collections::BTreeMap;

/// The content and its approval.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CardApproval {
    /// The hash of the content, printed as given.
    pub content: String,
    /// Whether this very content is approved.
    pub approval: Approval,
}

/// Whether a content is approved.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Approval {
    /// No one has approved this content.
    NotApproved,
    /// The same, on a card for training.
    Training,
    /// Approved.
    Approved {
        /// Who approved it.
        by: String,
        /// The day.
        on: String,
        /// The last day on which it holds.
        until: String,
    },
    /// There was an approval, and why it does not count: "withdrawn", "expired".
    NoLonger(String),
}

impl CardApproval {
    pub(super) fn words(&self) -> String {
        match &self.approval {
            Approval::NotApproved => "NOT APPROVED".to_owned(),
            Approval::Training => "FOR TRAINING ONLY, NOT APPROVED".to_owned(),
            Approval::Approved { by, on, until } => format!("Approved by {by} on {on}, valid until {until}"),
            Approval::NoLonger(why) => format!("NOT APPROVED: {why}"),
        }
    }

    pub(super) fn is_approval(&self) -> bool {
        matches!(self.approval, Approval::Approved { .. })
    }
}

/// What was proved of the procedure.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ProofNote {
    /// How many obligations hold on every path.
    pub obligations: usize,
    /// How the machine can be left from each step, by the step's number.
    pub stops: BTreeMap<String, Vec<String>>,
}

impl ProofNote {
    /// It says what was checked and no more: rules can be wrong, and a machine can differ from them.
    pub(super) fn words(&self) -> String {
        let hold = if self.obligations == 1 { "holds" } else { "hold" };
        format!(
            "Checked against the stated rules: {} {hold} on every path.",
            count(self.obligations, "obligation")
        )
    }

    /// The ways to leave the machine, steps in their order; neighbours with the same way together.
    pub(super) fn stop_plans(&self, steps: &[StepBox]) -> Vec<StopPlan> {
        let mut numbers = Vec::new();
        flatten(steps, &mut numbers);
        let mut plans: Vec<StopPlan> = Vec::new();
        for number in numbers {
            let Some(ways) = self.stops.get(number) else { continue };
            match plans.last_mut() {
                Some(last) if last.ways == *ways => number.clone_into(&mut last.last),
                _ => plans.push(StopPlan {
                    first: number.to_owned(),
                    last: number.to_owned(),
                    ways: ways.clone(),
                }),
            }
        }
        plans
    }
}

fn flatten<'a>(steps: &'a [StepBox], numbers: &mut Vec<&'a str>) {
    for step in steps {
        numbers.push(&step.number);
        flatten(&step.inner, numbers);
    }
}
