//! Whether there is a plan at all, for many records at once.
//!
//! A plan that is a way from all that is known is one from every part of that: acts, waits and looks of less leave less, what may
//! not break a rule may not break it there, of what is found broken on the way nothing is left out, and a look at what was not
//! opened ends no more than one at what was. So it is where what is known lasts.

use crate::known::Known;
use crate::meter::{BudgetExhausted, Meter};
use crate::plan_step::PlanStep;
use crate::record::Record;
use crate::relevant::Relevant;
use crate::shorten::leads;
use crate::universal::{beyond_all_acts, part_by_part};
use machine::{Cube, Machine};
use std::collections::BTreeSet;

/// How many parts of a plan are tried: where one serves many it takes few.
const TRIED_PARTS: usize = 100;

/// What plans are made of, and the universal plan if there is one.
pub(crate) struct Plans<'a> {
    pub(crate) machine: &'a Machine,
    pub(crate) rest: &'a Cube,
    pub(crate) relevant: &'a Relevant,
    pub(crate) universal: Option<&'a [PlanStep]>,
}

/// Which plan serves.
#[derive(Clone, Copy, PartialEq, Eq)]
enum By {
    /// The universal one.
    Universal,
    /// One found part by part.
    Parts,
}

/// What is known to have a plan.
#[derive(Default)]
pub(crate) struct Served {
    /// One plan serves all that is a part of one of these; the latest come last.
    all: Vec<(Known, By)>,
    /// What many are a part of, and for which no plan was found.
    in_vain: BTreeSet<Record>,
}

impl Served {
    /// Whether the record has a plan. Where none is found there may be one.
    pub(crate) fn serves(
        &mut self,
        plans: &Plans<'_>,
        record: &Record,
        meter: &Meter<'_>,
    ) -> Result<bool, BudgetExhausted> {
        let machine = plans.machine;
        meter.work(self.all.len() / 16)?;
        if self.all.iter().rev().any(|(one, _)| one.is_of(machine, record, &plans.relevant.set)) {
            return Ok(true);
        }
        let around = record.around_found(machine);
        let marked = around.marked_in_any_way(machine, &plans.relevant.left_out);
        let alone = Known::new(machine, record.clone());
        for most in [marked, around] {
            if !self.in_vain.contains(&most)
                && self.add(plans, Known::among(machine, most.clone(), plans.relevant.set.clone()), meter)?
            {
                return Ok(true);
            }
            self.in_vain.insert(most);
        }
        if self.add(plans, alone.clone(), meter)? {
            return Ok(true);
        }
        let leads = plans.lead_after_a_look(record, meter)?;
        if leads {
            self.all.push((alone, By::Parts));
        }
        Ok(leads)
    }

    /// Adds all that is known here, if one plan serves it: together with the last of which the same was found broken, if one
    /// serves both, so that it serves more of those that come.
    fn add(&mut self, plans: &Plans<'_>, known: Known, meter: &Meter<'_>) -> Result<bool, BudgetExhausted> {
        let found = known.record.found(plans.machine);
        if let Some((last, by)) =
            self.all.iter_mut().rfind(|(one, _)| one.record.found(plans.machine) == found)
        {
            let both = last.clone().either(&known);
            // What serves more serves this too: a plan that did not serve the last does not serve both.
            if let Some(both_by) = plans.lead(&both, *by == By::Universal, meter)? {
                (*last, *by) = (both, both_by);
                return Ok(true);
            }
        }
        let by = plans.lead(&known, true, meter)?;
        self.all.extend(by.map(|by| (known, by)));
        Ok(by.is_some())
    }
}

impl Plans<'_> {
    /// Whether the universal plan, where that may be one, or else one found part by part, is a way from all that is known.
    fn lead(&self, known: &Known, universal: bool, meter: &Meter<'_>) -> Result<Option<By>, BudgetExhausted> {
        let follows = |steps| leads(self.machine, self.rest, steps, known.clone()).is_some();
        if universal && self.universal.is_some_and(follows) {
            return Ok(Some(By::Universal));
        }
        let parts = part_by_part(self.machine, self.rest, known.clone(), (TRIED_PARTS, false), meter)?;
        Ok(parts.map(|_| By::Parts))
    }

    /// Whether after a look each value of some condition has a plan of its own.
    fn lead_after_a_look(&self, record: &Record, meter: &Meter<'_>) -> Result<bool, BudgetExhausted> {
        let machine = self.machine;
        if beyond_all_acts(machine, self.rest, record).is_some() {
            return Ok(false);
        }
        for (_, mut sides) in record.looked_at(machine, &self.relevant.looks) {
            let all = sides.try_fold(true, |all, (_, side)| {
                Ok(all && self.lead(&Known::new(machine, side), true, meter)?.is_some())
            })?;
            if all {
                return Ok(true);
            }
        }
        Ok(false)
    }
}
