//! The exact search for a plan: over everything that may be known, for the plan whose longest way is shortest.
//!
//! Records reached by looks, acts and waits make a graph: of a look all sides must lead on, of several moves one. Layer by
//! layer it is built, and from its ends the records from which there is a plan are counted backwards.

use crate::meter::{BudgetExhausted, Meter};
use crate::plan_step::PlanStep;
use crate::record::{Record, one_by_one};
use crate::relevant::Relevant;
use machine::{Bits, Conjunct, Cube, Machine, VarId};
use std::collections::BTreeMap;

/// How many steps a plan may have in all its ways together.
const LONGEST: usize = 2_000;

/// What the search came to.
pub(crate) enum Sought {
    /// A plan, and everything that may be so once it has been followed.
    Plan(Vec<PlanStep>, Record),
    /// There is none: not even from this part of the record.
    Stuck(Bits),
    /// So many records do not tell.
    Limit,
}

/// What a person may do in a record, and the records that it leads to.
struct Branch {
    does: Does,
    to: Vec<usize>,
}

#[derive(Clone, Copy)]
enum Does {
    Act(usize),
    Wait(VarId, u64),
    Look(VarId),
}

/// A record met, what may be done there, and how far it is from the end by which branch, where a plan is known.
struct Met {
    record: Record,
    branches: Vec<Branch>,
    best: Option<(usize, Option<usize>)>,
}

/// Whether a plan may find out with an instrument what nobody is asked about.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Instruments {
    Never,
    /// Where nothing else helps.
    IfNeedBe,
}

/// A plan from the record within so many records.
pub(crate) fn seek(
    machine: &Machine,
    rest: &Cube,
    relevant: &Relevant,
    from: &Record,
    (limit, instruments): (usize, Instruments),
    meter: &Meter<'_>,
) -> Result<Sought, BudgetExhausted> {
    // Whoever finds a rule broken ends that first, where an act can; only where this leads nowhere something else.
    for with_instruments in [false, true] {
        for ends_found_first in [true, false] {
            let mut seek = Seek::new(machine, rest, relevant, limit, (ends_found_first, with_instruments));
            match seek.run(from, meter)? {
                Sought::Plan(steps, end) => return Ok(Sought::Plan(steps, end)),
                Sought::Stuck(bits) if !seek.held_back && !seek.blind => return Ok(Sought::Stuck(bits)),
                Sought::Stuck(_) if !seek.held_back => break,
                Sought::Stuck(_) | Sought::Limit => {}
            }
        }
        if instruments == Instruments::Never {
            break;
        }
    }
    Ok(Sought::Limit)
}

struct Seek<'a> {
    machine: &'a Machine,
    rest: &'a Cube,
    relevant: &'a Relevant,
    limit: usize,
    ends_found_first: bool,
    instruments: bool,
    /// Whether something was not found out because that takes an instrument.
    blind: bool,
    /// Whether some move was left out because a rule found broken comes first.
    held_back: bool,
    met: Vec<Met>,
    known: BTreeMap<Record, usize>,
}

impl<'a> Seek<'a> {
    fn new(
        machine: &'a Machine,
        rest: &'a Cube,
        relevant: &'a Relevant,
        limit: usize,
        (ends_found_first, instruments): (bool, bool),
    ) -> Self {
        Self {
            machine,
            rest,
            relevant,
            limit,
            ends_found_first,
            instruments,
            blind: false,
            held_back: false,
            met: Vec::new(),
            known: BTreeMap::new(),
        }
    }

    fn run(&mut self, from: &Record, meter: &Meter<'_>) -> Result<Sought, BudgetExhausted> {
        self.meet(from.clone());
        let (mut layer, mut depth) = (0..1, 0);
        loop {
            self.count_back(meter)?;
            if self.met[0].best.is_some_and(|(rank, _)| rank <= depth || layer.is_empty()) {
                let mut left = LONGEST;
                let Some((steps, end)) = self.steps(0, &mut left) else { return Ok(Sought::Limit) };
                return Ok(Sought::Plan(steps, end));
            }
            if layer.is_empty() {
                return Ok(Sought::Stuck(self.stuck(0)));
            }
            let end = self.met.len();
            for at in layer {
                meter.work(1 + self.machine.restoring.len() + self.relevant.looks.len())?;
                let branches = self.branches(at);
                self.met[at].branches = branches;
                if self.met.len() > self.limit {
                    return Ok(Sought::Limit);
                }
            }
            (layer, depth) = (end..self.met.len(), depth + 1);
        }
    }

    fn meet(&mut self, record: Record) -> usize {
        if let Some(&at) = self.known.get(&record) {
            return at;
        }
        let at = self.met.len();
        self.known.insert(record.clone(), at);
        self.met.push(Met { record, branches: Vec::new(), best: None });
        at
    }

    fn is_end(&self, record: &Record) -> bool {
        record.found(self.machine).is_empty() && record.holds(self.machine, self.rest)
    }

    fn branches(&mut self, at: usize) -> Vec<Branch> {
        let record = self.met[at].record.clone();
        if self.is_end(&record) {
            return Vec::new();
        }
        let machine = self.machine;
        let mut all: Vec<(Does, Vec<Record>)> = Vec::new();
        for (action, restoring) in machine.restoring.iter().enumerate() {
            if record.holds(machine, &restoring.needs) {
                let mut after = record.clone();
                if after.act(machine, &restoring.effects).is_ok() {
                    all.push((Does::Act(action), vec![after]));
                }
            }
        }
        let found = record.found(machine).len();
        let ends_one =
            |(_, after): &(Does, Vec<Record>)| after.iter().all(|after| after.found(machine).len() < found);
        if self.ends_found_first && all.iter().any(ends_one) {
            self.held_back = true;
            all.retain(ends_one);
        } else {
            for settling in &machine.settling {
                let waits = record.may_be(machine, settling.var, settling.from)
                    && self.relevant.vars.contains(&settling.var)
                    && settling.holds.as_ref().is_none_or(|under| record.holds(machine, under));
                if waits {
                    let mut after = record.clone();
                    after.wait(machine, settling.after);
                    all.push((Does::Wait(settling.var, settling.after), vec![after]));
                }
            }
            for &var in &self.relevant.looks {
                let field = record.field(machine, var);
                if field.count_ones() < 2 || !record.shows(machine, var) {
                    continue;
                }
                if !self.instruments && !machine.sight(var).is_asked {
                    self.blind = true;
                } else {
                    let sides = one_by_one(field);
                    let sides = sides.map(|set| {
                        let mut side = record.clone();
                        side.look(machine, Conjunct { var, set });
                        side
                    });
                    all.push((Does::Look(var), sides.collect()));
                }
            }
        }
        let left_out = &self.relevant.left_out;
        let mut branches = Vec::with_capacity(all.len());
        for (does, records) in all {
            let to = records
                .into_iter()
                .map(|record| {
                    let mut record = record;
                    record.project(left_out);
                    self.meet(record)
                })
                .collect();
            branches.push(Branch { does, to });
        }
        branches
    }

    /// How far each record is from an end: one more than the farthest side of its best move.
    fn count_back(&mut self, meter: &Meter<'_>) -> Result<(), BudgetExhausted> {
        for at in 0..self.met.len() {
            let ends = self.is_end(&self.met[at].record);
            self.met[at].best = ends.then_some((0, None));
        }
        for rank in 1.. {
            meter.work(self.met.len())?;
            let mut new = Vec::new();
            for (at, met) in self.met.iter().enumerate().filter(|(_, met)| met.best.is_none()) {
                let leads = |branch: &Branch| branch.to.iter().all(|&to| self.met[to].best.is_some());
                if let Some(branch) = met.branches.iter().position(leads) {
                    new.push((at, branch));
                }
            }
            if new.is_empty() {
                break;
            }
            new.into_iter().for_each(|(at, branch)| self.met[at].best = Some((rank, Some(branch))));
        }
        Ok(())
    }

    /// The plan from a record that has one; none if it is too long to be written out.
    fn steps(&self, at: usize, left: &mut usize) -> Option<(Vec<PlanStep>, Record)> {
        let met = &self.met[at];
        let Some(branch) = met.best?.1 else { return Some((Vec::new(), met.record.clone())) };
        *left = left.checked_sub(1)?;
        let branch = &met.branches[branch];
        let step = match branch.does {
            Does::Act(action) => PlanStep::Act(action),
            Does::Wait(var, millis) => PlanStep::Wait { var, millis },
            Does::Look(var) => {
                let mut ways: Vec<(u64, Vec<PlanStep>)> = Vec::new();
                let mut end: Option<Record> = None;
                let field = met.record.field(self.machine, var);
                let values = one_by_one(field);
                for (set, &to) in values.zip(&branch.to) {
                    let (steps, after) = self.steps(to, left)?;
                    end = Some(end.map_or_else(|| after.clone(), |end| end.either(&after)));
                    match ways.iter_mut().find(|(_, known)| *known == steps) {
                        Some((values, _)) => *values |= set,
                        None => ways.push((set, steps)),
                    }
                }
                return Some((vec![PlanStep::Look { var, ways, untold: None }], end?));
            }
        };
        let (rest, end) = self.steps(*branch.to.first()?, left)?;
        Some((std::iter::once(step).chain(rest).collect(), end))
    }

    /// As small a part of a record without a plan as looks can tell apart.
    fn stuck(&self, from: usize) -> Bits {
        let (mut at, mut met) = (from, vec![from]);
        loop {
            let looks = self.met[at].branches.iter().filter(|branch| matches!(branch.does, Does::Look(_)));
            let without = looks
                .flat_map(|branch| &branch.to)
                .find(|&&to| self.met[to].best.is_none() && !met.contains(&to));
            let Some(&next) = without else { return self.met[at].record.bits().clone() };
            at = next;
            met.push(at);
        }
    }
}
