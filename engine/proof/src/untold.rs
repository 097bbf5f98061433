//! Where a look of a plan cannot be made out: the way that leads on all the same.

use crate::known::Known;
use crate::plan_step::{PlanStep, longest};
use crate::shorten::{goes_on, leads};
use machine::{Conjunct, Cube, Machine};

/// Marks at every look of a plan from what is known the way for whoever cannot tell: one whose acts need nothing and break
/// nothing, whatever the condition is, and from which the rest of the plan still leads to where the machine may be left. Of
/// several it is the longest. `then` follows the steps.
pub(crate) fn mark(
    machine: &Machine,
    rest: &Cube,
    steps: &mut [PlanStep],
    then: &[PlanStep],
    mut known: Known,
) {
    for at in 0..steps.len() {
        let (so_far, further) = steps.split_at_mut(at + 1);
        let Some(step) = so_far.last_mut() else { return };
        let following: Vec<PlanStep> = further.iter().chain(then).cloned().collect();
        let before = known.clone();
        // Where the plan itself does not lead on nobody is led on who cannot tell.
        if goes_on(machine, std::slice::from_ref(step), &mut known).is_none() {
            return;
        }
        let PlanStep::Look { var, ways, untold } = step else { continue };
        let mut open = before.clone();
        open.lose(machine, *var);
        let leads_on = |(_, way): &(u64, Vec<PlanStep>)| {
            let whole: Vec<PlanStep> = way.iter().chain(&following).cloned().collect();
            leads(machine, rest, &whole, open.clone()).is_some()
        };
        let sides = (0..ways.len()).filter(|&side| leads_on(&ways[side]));
        *untold = sides.max_by_key(|&side| longest(&ways[side].1));
        for (values, way) in ways {
            let set = before.record.field(machine, *var) & *values;
            if set != 0 {
                let mut side = before.clone();
                side.look(machine, Conjunct { var: *var, set });
                mark(machine, rest, way, &following, side);
            }
        }
    }
}
