//! A plan cut down to what a record does not know, and followed all the way: what comes of it is sure.

use crate::known::Known;
use crate::plan_step::PlanStep;
use crate::record::Record;
use machine::{Conjunct, Cube, Effect, Machine};

/// The steps of a plan that a record leaves open, and everything that may be so once they have been followed; none where
/// they do not lead from this record to where the machine may be left.
pub(crate) fn shorten(
    machine: &Machine,
    rest: &Cube,
    plan: &[PlanStep],
    record: &Record,
) -> Option<(Vec<PlanStep>, Record)> {
    leads(machine, rest, plan, Known::new(machine, record.clone()))
}

/// The same from what is known.
pub(crate) fn leads(
    machine: &Machine,
    rest: &Cube,
    plan: &[PlanStep],
    mut known: Known,
) -> Option<(Vec<PlanStep>, Record)> {
    let steps = goes_on(machine, plan, &mut known)?;
    let record = known.record;
    (record.found(machine).is_empty() && record.holds(machine, rest)).then_some((steps, record))
}

/// The steps of a plan that what is known leaves open, and what is known once they have been followed.
pub(crate) fn goes_on(machine: &Machine, plan: &[PlanStep], known: &mut Known) -> Option<Vec<PlanStep>> {
    let mut steps = Vec::new();
    for step in plan {
        match step {
            &PlanStep::Act(at) => {
                let action = &machine.restoring[at];
                let changes = |effect: &Effect| match *effect {
                    Effect::Write(set) => !known.record.surely(machine, set),
                    Effect::Open(_)
                    | Effect::Look(_)
                    | Effect::Find(_)
                    | Effect::Lose(_)
                    | Effect::Verify(_) => true,
                };
                if action.effects.iter().any(changes) {
                    if !known.record.holds(machine, &action.needs) {
                        return None;
                    }
                    known.act(machine, &action.effects).ok()?;
                    steps.push(step.clone());
                }
            }
            &PlanStep::Wait { var, millis } => {
                let settling = machine.settling.iter().find(|settling| settling.var == var)?;
                if known.record.may_be(machine, var, settling.from) {
                    if !settling.holds.as_ref().is_none_or(|under| known.record.holds(machine, under)) {
                        return None;
                    }
                    known.record.wait(machine, millis);
                    steps.push(step.clone());
                }
            }
            PlanStep::Look { var, ways, untold: _ } => {
                let field = known.record.field(machine, *var);
                // A plan has no way for what cannot be where it was made: what only a look counts for may be.
                if ways.iter().fold(field, |left, (values, _)| left & !values) != 0 {
                    return None;
                }
                let open: Vec<_> = ways.iter().filter(|(values, _)| values & field != 0).collect();
                if let [(_, way)] = &open[..] {
                    steps.extend(goes_on(machine, way, known)?);
                    continue;
                }
                if !known.record.reaches(machine, *var) {
                    return None;
                }
                let (mut short, mut end): (Vec<_>, Option<Known>) = (Vec::new(), None);
                for (values, way) in open {
                    let mut side = known.clone();
                    side.look(machine, Conjunct { var: *var, set: values & field });
                    short.push((values & field, goes_on(machine, way, &mut side)?));
                    end = Some(match end {
                        Some(end) => end.either(&side),
                        None => side,
                    });
                }
                *known = end?;
                steps.push(PlanStep::Look { var: *var, ways: short, untold: None });
            }
            // The record knows, and the looks that the plan ends with are made anew.
            PlanStep::Again { .. } => {}
            PlanStep::Universal | PlanStep::Cannot => return None,
        }
    }
    Some(steps)
}
