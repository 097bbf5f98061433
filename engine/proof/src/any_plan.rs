//! Some plan for a record, however long: what is claimed is that there is one.

use crate::known::Known;
use crate::meter::{BudgetExhausted, Meter};
use crate::plan::{Leaving, Planner};
use crate::plan_step::PlanStep;
use crate::record::Record;
use crate::shorten::shorten;
use crate::universal::{Universal, part_by_part};
use machine::AbstractState;

/// How many parts are tried where no more is known than that a rule was found broken.
const TRIED_ALONE: usize = 500;

impl Planner<'_> {
    /// The rules that a look may find broken and for which no plan is found, part by part, from no more than that.
    pub(crate) fn hard_to_end(&mut self, meter: &Meter<'_>) -> Result<Vec<usize>, BudgetExhausted> {
        let mut hard = Vec::new();
        for rule in self.machine.findable() {
            let Some(state) = self.only_found(rule) else { continue };
            if self.universal_that_leads(&state, meter)?.is_some() {
                continue;
            }
            let known = Known::new(self.machine, self.record(&state));
            if part_by_part(self.machine, self.rest, known, (TRIED_ALONE, true), meter)?.is_none() {
                hard.push(rule);
            }
        }
        Ok(hard)
    }

    /// A plan from a record: the universal one, or one found part by part, or whatever the search for the shortest comes to.
    pub(crate) fn any_plan(
        &mut self,
        state: &AbstractState,
        meter: &Meter<'_>,
    ) -> Result<Option<Vec<PlanStep>>, BudgetExhausted> {
        if let Some(steps) = self.universal_that_leads(state, meter)? {
            return Ok(Some(steps));
        }
        let record = self.record(state);
        let known = Known::new(self.machine, record.clone());
        if let Some((steps, _)) = part_by_part(self.machine, self.rest, known, (TRIED_ALONE, true), meter)? {
            return Ok(Some(steps));
        }
        if let Some(step) = self.after_a_look(&record, meter)? {
            return Ok(Some(vec![step]));
        }
        Ok(match self.leave_record(record, meter)? {
            Leaving::Plan { moves, looks: _ } => Some(moves),
            Leaving::Stuck(_) | Leaving::Unknown => None,
        })
    }

    /// A look after which each value of the condition has a plan that is found part by part.
    fn after_a_look(&self, record: &Record, meter: &Meter<'_>) -> Result<Option<PlanStep>, BudgetExhausted> {
        let machine = self.machine;
        'looks: for (var, sides) in record.looked_at(machine, &self.relevant.looks) {
            let mut ways = Vec::new();
            for (set, side) in sides {
                let known = Known::new(machine, side);
                match part_by_part(machine, self.rest, known, (TRIED_ALONE, true), meter)? {
                    Some((steps, _)) => ways.push((set, steps)),
                    None => continue 'looks,
                }
            }
            return Ok(Some(PlanStep::Look { var, ways, untold: None }));
        }
        Ok(None)
    }

    /// Whether a plan leads from a record to where the machine may be left.
    pub(crate) fn leads(&self, plan: &[PlanStep], state: &AbstractState) -> bool {
        shorten(self.machine, self.rest, plan, &self.record(state)).is_some()
    }

    /// The universal plan, if it leads from a record to where the machine may be left.
    fn universal_that_leads(
        &mut self,
        state: &AbstractState,
        meter: &Meter<'_>,
    ) -> Result<Option<Vec<PlanStep>>, BudgetExhausted> {
        let record = self.record(state);
        let (machine, rest) = (self.machine, self.rest);
        let Universal::Plan(steps) = self.universal_within(meter)? else { return Ok(None) };
        Ok(shorten(machine, rest, steps, &record).is_some().then(|| steps.clone()))
    }
}
