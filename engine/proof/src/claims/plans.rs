//! Plans as claims have them: what a look tells anew is left out, and each plan has a number.

use crate::meter::{BudgetExhausted, Meter};
use crate::plan::Planner;
use crate::plan_step::PlanStep;
use crate::record::one_by_one;
use machine::AbstractState;

/// Plans by number, in the order in which they were first needed.
#[derive(Default)]
pub(super) struct Plans {
    found: Vec<Vec<PlanStep>>,
    claimed: Vec<Vec<form::PlanStep>>,
}

impl Plans {
    pub(super) fn into_steps(self) -> Vec<Vec<form::PlanStep>> {
        self.claimed
    }

    /// The number of a plan from a record, one that was needed before if there is one; none where no plan is found.
    pub(super) fn of(
        &mut self,
        planner: &mut Planner<'_>,
        state: &AbstractState,
        meter: &Meter<'_>,
    ) -> Result<Option<u32>, BudgetExhausted> {
        for (number, plan) in (0..).zip(&self.found) {
            meter.work(plan.len())?;
            if planner.leads(plan, state) {
                return Ok(Some(number));
            }
        }
        let Some(steps) = planner.any_plan(state, meter)? else { return Ok(None) };
        let Some(claimed) = claimed(&steps) else { return Ok(None) };
        self.found.push(steps);
        self.claimed.push(claimed);
        Ok(Some(self.found.len() as u32 - 1))
    }
}

/// The plan without looks at what is so anyway; none where it does not lead to its end by itself.
fn claimed(steps: &[PlanStep]) -> Option<Vec<form::PlanStep>> {
    let mut all = Vec::with_capacity(steps.len());
    for step in steps {
        match step {
            PlanStep::Act(at) => all.push(form::PlanStep::Act(*at as u32)),
            PlanStep::Wait { var, millis } => all.push(form::PlanStep::Wait(var.0, *millis)),
            PlanStep::Look { var, ways, untold: _ } => {
                // Each value for itself: what is found broken by one is not by another, be it that the same is done then.
                let mut sides = Vec::new();
                for (set, steps) in ways {
                    let steps = claimed(steps)?;
                    sides.extend(one_by_one(*set).map(|value| (value, steps.clone())));
                }
                sides.sort_unstable();
                all.push(form::PlanStep::Look(var.0, sides));
            }
            PlanStep::Again { .. } => {}
            PlanStep::Universal | PlanStep::Cannot => return None,
        }
    }
    Some(all)
}
