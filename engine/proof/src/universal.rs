//! The universal plan: from everything unknown to where the machine may be left.
//!
//! First greedily, part by part of what is wanted: look; if it is not so, do the restoring action that makes it so, once what
//! that needs has been made sure of in the same way; look again. Ways meet again after each part, so that parts that have
//! nothing to do with each other do not multiply. Where that finds none the exact search is asked.

use crate::known::Known;
use crate::meter::{BudgetExhausted, Meter};
use crate::plan_step::PlanStep;
use crate::record::Record;
use crate::relevant::Relevant;
use crate::seek::{Instruments, Sought, seek};
use machine::{Bits, Conjunct, Cube, Effect, Machine, Restoring, VarId};
use std::collections::BTreeSet;

/// How many records the exact search may look at.
const SEARCH_LIMIT: usize = 20_000;

/// How many parts may be tried before the greedy search gives up.
pub(crate) const TRIED_PARTS: usize = 50_000;

/// The plan from everything unknown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Universal {
    /// These steps: whatever is true they lead to where the machine may be left, if every act does what it says.
    Plan(Vec<PlanStep>),
    /// There is none: not even from these values.
    Impossible(Bits),
    /// The search ended at its limit: nothing is known.
    Unknown,
}

/// Finds it.
pub(crate) fn universal(
    machine: &Machine,
    rest: &Cube,
    relevant: &Relevant,
    meter: &Meter<'_>,
) -> Result<Universal, BudgetExhausted> {
    let record = Record::anything(machine);
    if let Some(from) = beyond_all_acts(machine, rest, &record) {
        return Ok(Universal::Impossible(from));
    }
    let mut greedy =
        Greedy { machine, rest, meter, left: TRIED_PARTS, under: Vec::new(), tells: true, is_whole: true };
    if let Some(steps) = greedy.whole(Known::new(machine, record.clone()))? {
        return Ok(Universal::Plan(steps));
    }
    Ok(match seek(machine, rest, relevant, &record, (SEARCH_LIMIT, Instruments::IfNeedBe), meter)? {
        Sought::Plan(mut steps, end) => {
            look_after_waits(machine, &mut steps);
            greedy.last_looks(&Known::new(machine, end), &mut steps);
            Universal::Plan(steps)
        }
        Sought::Stuck(bits) => Universal::Impossible(bits),
        Sought::Limit => Universal::Unknown,
    })
}

/// A plan from what is known, part by part, of which so many may be tried: first what was found broken is ended. Where it finds
/// none there may be one.
pub(crate) fn part_by_part(
    machine: &Machine,
    rest: &Cube,
    mut known: Known,
    (tried, tells): (usize, bool),
    meter: &Meter<'_>,
) -> Result<Option<(Vec<PlanStep>, Record)>, BudgetExhausted> {
    let mut greedy = Greedy { machine, rest, meter, left: tried, under: Vec::new(), tells, is_whole: false };
    let mut steps = Vec::new();
    for rule in known.record.found(machine) {
        if !greedy.end(rule, 0, &mut known, &mut steps)? {
            return Ok(None);
        }
    }
    Ok(greedy.all(&mut known, &mut steps)?.then_some((steps, known.record)))
}

struct Greedy<'a> {
    machine: &'a Machine,
    rest: &'a Cube,
    meter: &'a Meter<'a>,
    left: usize,
    /// What is being made sure of: nothing is a means to itself.
    under: Vec<VarId>,
    /// Whether the plan is told, and not only whether there is one.
    tells: bool,
    /// Whether it is the plan from everything unknown, which may be begun anew.
    is_whole: bool,
}

type Grown = Result<bool, BudgetExhausted>;

impl Greedy<'_> {
    /// The whole plan.
    fn whole(&mut self, mut known: Known) -> Result<Option<Vec<PlanStep>>, BudgetExhausted> {
        let mut steps = Vec::new();
        let reached = self.all(&mut known, &mut steps)?;
        if reached {
            self.last_looks(&known, &mut steps);
        }
        Ok(reached.then_some(steps))
    }

    /// Everything that is wanted, part by part, until all of it is so at once.
    fn all(&mut self, known: &mut Known, steps: &mut Vec<PlanStep>) -> Grown {
        let machine = self.machine;
        let mut met = BTreeSet::new();
        // One rule that is ended may bring another about, and that the first again: what was met before leads nowhere new.
        while met.insert(known.record.clone()) {
            let mut grown = false;
            for &part in &self.rest.0 {
                if !known.record.surely(machine, part) {
                    grown |= self.ensure(part, known, steps)?;
                }
            }
            for rule in known.record.found(machine) {
                grown |= self.end(rule, 0, known, steps)?;
            }
            if known.record.found(machine).is_empty() && known.record.holds(machine, self.rest) {
                return Ok(true);
            }
            if !grown {
                break;
            }
        }
        Ok(false)
    }

    /// Makes sure that a part is so: by looking, and where it is not so by what makes it so.
    fn ensure(&mut self, part: Conjunct, known: &mut Known, steps: &mut Vec<PlanStep>) -> Grown {
        if known.record.surely(self.machine, part) {
            return Ok(true);
        }
        self.meter.work(1 + self.machine.restoring.len())?;
        if self.left == 0 || self.under.contains(&part.var) {
            return Ok(false);
        }
        self.left -= 1;
        self.under.push(part.var);
        let done = self.look_and_make(part, known, steps);
        self.under.pop();
        done
    }

    fn look_and_make(&mut self, part: Conjunct, known: &mut Known, steps: &mut Vec<PlanStep>) -> Grown {
        let machine = self.machine;
        if !machine.sight(part.var).is_asked {
            return self.make(part, known, steps);
        }
        let (mut before, so_far) = (known.clone(), steps.len());
        let uncovered = self.ensure_all(&machine.sight(part.var).when, &mut before, steps)?;
        let field = before.record.field(machine, part.var);
        let (yes, no) = (field & part.set, field & !part.set);
        if !uncovered || yes == 0 || no == 0 {
            steps.truncate(so_far);
            return self.make(part, known, steps);
        }
        let (mut is_so, mut is_not, mut made) = (before.clone(), before, Vec::new());
        is_so.look(machine, Conjunct { var: part.var, set: yes });
        is_not.look(machine, Conjunct { var: part.var, set: no });
        if !is_so.record.surely(machine, part) || !self.make(part, &mut is_not, &mut made)? {
            steps.truncate(so_far);
            return Ok(false);
        }
        steps.push(PlanStep::Look { var: part.var, ways: vec![(yes, Vec::new()), (no, made)], untold: None });
        *known = is_so.either(&is_not);
        Ok(known.record.surely(machine, part))
    }

    /// Makes it so whatever it is: by the first action that can, or by waiting.
    fn make(&mut self, part: Conjunct, known: &mut Known, steps: &mut Vec<PlanStep>) -> Grown {
        let machine = self.machine;
        for (at, action) in machine.restoring.iter().enumerate() {
            if !makes(action, part) {
                continue;
            }
            let (mut after, so_far) = (known.clone(), steps.len());
            if self.perform(at, &mut after, steps)? && after.record.surely(machine, part) {
                self.look_again(part, at, &mut after, steps);
                *known = after;
                return Ok(true);
            }
            steps.truncate(so_far);
        }
        let Some(settling) = machine.settling.iter().find(|settling| settling.var == part.var) else {
            return Ok(false);
        };
        let (mut after, so_far) = (known.clone(), steps.len());
        let counts = match &settling.holds {
            Some(under) => self.ensure_all(under, &mut after, steps)?,
            None => true,
        };
        after.record.wait(machine, settling.after);
        if !counts || !after.record.surely(machine, part) {
            steps.truncate(so_far);
            return Ok(false);
        }
        steps.push(PlanStep::Wait { var: part.var, millis: settling.after });
        if after.record.reaches(self.machine, part.var) {
            let failed = vec![PlanStep::Cannot];
            let values = after.record.field(self.machine, part.var);
            steps.push(PlanStep::Again { var: part.var, values, failed });
            after.seen.add(part.var);
        }
        *known = after;
        Ok(true)
    }

    /// Does an action once what it needs is so and no rule can be broken by it.
    fn perform(&mut self, at: usize, known: &mut Known, steps: &mut Vec<PlanStep>) -> Grown {
        let action = &self.machine.restoring[at];
        // Each further round has taken one more rule out of the way.
        for _ in 0..=self.machine.rules.len() + self.machine.released.len() {
            if !self.ensure_all(&action.needs, known, steps)? {
                return Ok(false);
            }
            match known.act(self.machine, &action.effects) {
                Ok(()) => {
                    steps.push(PlanStep::Act(at));
                    return Ok(true);
                }
                Err(rule) => {
                    let written: Vec<VarId> = action.effects.iter().map(|effect| effect.var()).collect();
                    if !self.prevent(rule, &written, known, steps)? {
                        return Ok(false);
                    }
                }
            }
        }
        Ok(false)
    }

    /// Makes sure that a rule is not broken, by another of its conditions than these.
    fn prevent(&mut self, rule: &Cube, but: &[VarId], known: &mut Known, steps: &mut Vec<PlanStep>) -> Grown {
        let machine = self.machine;
        for part in rule.0.iter().filter(|part| !but.contains(&part.var)) {
            let other = Conjunct { var: part.var, set: machine.layout.all(part.var) & !part.set };
            if other.set != 0 && !known.record.surely(machine, other) && self.ensure(other, known, steps)? {
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// Ends a rule that may have been found broken: looks at its conditions from this one on, and where all of them are so,
    /// makes one of them otherwise. Where one is not so nothing is done.
    fn end(&mut self, rule: usize, from: usize, known: &mut Known, steps: &mut Vec<PlanStep>) -> Grown {
        let machine = self.machine;
        let parts = &machine.rules[rule].when.0;
        if !known.record.found(machine).contains(&rule) {
            return Ok(true);
        }
        let Some(&part) = parts.get(from) else {
            for part in parts {
                let other = Conjunct { var: part.var, set: machine.layout.all(part.var) & !part.set };
                if other.set != 0 && self.make(other, known, steps)? {
                    return Ok(true);
                }
            }
            return Ok(false);
        };
        let field = known.record.field(machine, part.var);
        let (within, without) = (field & part.set, field & !part.set);
        if within == 0 || without == 0 || !known.record.reaches(self.machine, part.var) {
            return self.end(rule, from + 1, known, steps);
        }
        let (mut is_so, mut is_not, mut ended) = (known.clone(), known.clone(), Vec::new());
        is_so.look(machine, Conjunct { var: part.var, set: within });
        is_not.look(machine, Conjunct { var: part.var, set: without });
        if !self.end(rule, from + 1, &mut is_so, &mut ended)? {
            return Ok(false);
        }
        steps.push(PlanStep::Look {
            var: part.var,
            ways: vec![(without, Vec::new()), (within, ended)],
            untold: None,
        });
        *known = is_so.either(&is_not);
        Ok(!known.record.found(machine).contains(&rule))
    }

    /// Makes sure of all of it at once.
    fn ensure_all(&mut self, cube: &Cube, known: &mut Known, steps: &mut Vec<PlanStep>) -> Grown {
        for &part in &cube.0 {
            if !self.ensure(part, known, steps)? {
                return Ok(false);
            }
        }
        // What was made sure of first may have been undone by what came after it.
        Ok(known.record.holds(self.machine, cube))
    }

    /// After an act: a look at what it was done for, where that can be seen.
    fn look_again(&self, part: Conjunct, by: usize, known: &mut Known, steps: &mut Vec<PlanStep>) {
        if known.record.reaches(self.machine, part.var) {
            if self.tells {
                let seen = Conjunct { set: known.record.field(self.machine, part.var), ..part };
                steps.push(self.again(seen, Some(by), known));
            }
            known.seen.add(part.var);
        }
    }

    /// A look at what should be so. After an act that is what it leaves: what else was wanted is a surprise too, for the rest of the
    /// plan was found with what is known.
    fn again(&self, part: Conjunct, by: Option<usize>, known: &Known) -> PlanStep {
        PlanStep::Again { var: part.var, values: part.set, failed: self.failed(part, by, known) }
    }

    /// Where a look says that a part is not so though the record knows that it is: the act that makes it so is done again,
    /// once, if it still can be; else the plan from everything unknown is begun anew.
    fn failed(&self, part: Conjunct, by: Option<usize>, known: &Known) -> Vec<PlanStep> {
        let machine = self.machine;
        let not_so = machine.layout.all(part.var) & !part.set;
        let mut after = known.clone();
        after.look(machine, Conjunct { var: part.var, set: not_so });
        let makes_it = |at: &usize| makes(&machine.restoring[*at], part);
        let by = by.or_else(|| (0..machine.restoring.len()).find(makes_it));
        let Some(at) = by else { return vec![PlanStep::Cannot] };
        let action = &machine.restoring[at];
        if !after.record.holds(machine, &action.needs) {
            return vec![if self.is_whole { PlanStep::Universal } else { PlanStep::Cannot }];
        }
        if after.act(machine, &action.effects).is_err() || !after.record.reaches(self.machine, part.var) {
            return vec![PlanStep::Cannot];
        }
        let failed = vec![PlanStep::Cannot];
        let mut steps = vec![PlanStep::Act(at), PlanStep::Again { var: part.var, values: part.set, failed }];
        if !after.record.is_within(machine, &known.record) {
            // The surprise undid more than the act put right.
            steps.push(PlanStep::Universal);
        }
        steps
    }

    /// A look at each part of what is wanted that can be seen and was not looked at since it was written.
    fn last_looks(&self, known: &Known, steps: &mut Vec<PlanStep>) {
        for &part in &self.rest.0 {
            if !known.seen.has(part.var) && known.record.reaches(self.machine, part.var) {
                let left = Conjunct { set: known.record.left_with(self.machine, part), ..part };
                steps.push(self.again(left, None, known));
            }
        }
    }
}

/// Whoever begins the plan for the whole may have seen that a wait did not help: what can be seen after a wait is looked at.
fn look_after_waits(machine: &Machine, steps: &mut Vec<PlanStep>) {
    for step in std::mem::take(steps) {
        let mut step = step;
        if let PlanStep::Look { ways, .. } = &mut step {
            ways.iter_mut().for_each(|(_, way)| look_after_waits(machine, way));
        }
        let waited = if let PlanStep::Wait { var, .. } = step { Some(var) } else { None };
        steps.push(step);
        let settled = waited.and_then(|var| machine.settling.iter().find(|settling| settling.var == var));
        let sight = |var: VarId| machine.sight(var).is_asked && machine.sight(var).when.0.is_empty();
        if let Some(settling) = settled.filter(|settling| sight(settling.var)) {
            let values = machine.layout.all(settling.var) & !settling.from;
            steps.push(PlanStep::Again { var: settling.var, values, failed: vec![PlanStep::Cannot] });
        }
    }
}

/// Values of the record in which a part of what is wanted is not so, and nothing makes it so.
pub(crate) fn beyond_all_acts(machine: &Machine, rest: &Cube, record: &Record) -> Option<Bits> {
    let field = |part: &Conjunct| record.field(machine, part.var) & !part.set;
    let part = rest.0.iter().find(|part| field(part) != 0 && !can_be_restored(machine, **part))?;
    let mut from = record.bits().clone();
    from.set_field(&machine.layout, part.var, field(part));
    Some(from)
}

/// Whether a restoring act leaves it so, or time alone makes it so: where neither does no search finds a way from where it is
/// not so.
#[must_use]
pub fn can_be_restored(machine: &Machine, wanted: Conjunct) -> bool {
    let within = |var: VarId, set: u64| var == wanted.var && set & !wanted.set == 0;
    let mut acts = machine.restoring.iter().flat_map(|action| &action.effects);
    wanted.set == machine.layout.all(wanted.var)
        || acts.any(|effect| matches!(*effect, Effect::Write(set) if within(set.var, set.set)))
        || machine.settling.iter().any(|settling| within(settling.var, settling.to))
}

/// Whether an action leaves it so.
fn makes(action: &Restoring, part: Conjunct) -> bool {
    let last = action.effects.iter().rev().find(|effect| effect.var() == part.var);
    last.is_some_and(|effect| match effect {
        Effect::Write(set) => set.set & !part.set == 0,
        Effect::Open(_) | Effect::Look(_) | Effect::Find(_) | Effect::Lose(_) | Effect::Verify(_) => false,
    })
}
