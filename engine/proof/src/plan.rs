//! Plans for stopping: what a person looks at, does and waits for until the machine may be left.

use crate::known::Known;
use crate::meter::{Budget, BudgetExhausted, Meter};
use crate::plan_step::{PlanStep, longest};
use crate::record::Record;
use crate::relevant::Relevant;
use crate::seek::{Instruments, Sought, seek};
use crate::serve::{Plans, Served};
use crate::shorten::shorten;
use crate::universal::{TRIED_PARTS, Universal, beyond_all_acts, part_by_part, universal};
use crate::untold::mark;
use machine::{AbstractState, Bits, Conjunct, Cube, Effect, Machine, NodeId, Place, Rule, VarId, Vars};
use std::collections::{BTreeMap, BTreeSet};

/// How many records the search for a plan may look at where no universal plan is known.
const SEARCH_LIMIT: usize = 20_000;

/// How many it may look at for a shorter way than the universal plan gives, and from how many moves on it is not tried: in
/// so few records no shorter one is found then.
const SHORTER: (usize, usize) = (200, 6);

/// What a person does to leave the machine, or why there is no way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Leaving {
    /// These steps, whatever of the record is true: the moves there, of which the record knows that they are enough, and then
    /// a look at each part of the state to be reached that can be seen. It ends in the universal plan where a look says
    /// otherwise.
    Plan {
        /// The moves; none if the machine may be left as it is by the record.
        moves: Vec<PlanStep>,
        /// The looks that follow.
        looks: Vec<PlanStep>,
    },
    /// From this part of the record there is no way. Only [`Planner::relevant`] fields count.
    Stuck(Bits),
    /// The search ended at its limit: nothing is known.
    Unknown,
}

impl Leaving {
    /// A part of the record without a way, if there is one.
    #[must_use]
    pub fn stuck(&self) -> Option<&Bits> {
        match self {
            Self::Stuck(bits) => Some(bits),
            Self::Plan { .. } | Self::Unknown => None,
        }
    }
}

/// For every node at which a person can stand, what is known there whichever way led to it, but for ways on which a look has
/// just found a rule broken: none where all have.
#[derive(Clone, Debug, Default)]
pub struct Stood(BTreeMap<NodeId, Option<AbstractState>>);

impl Stood {
    /// The nodes.
    pub fn nodes(&self) -> impl Iterator<Item = NodeId> {
        self.0.keys().copied()
    }

    /// In an item what items beside it write is known as little as where items are chosen.
    pub(crate) fn widen_beside(
        &mut self,
        machine: &Machine,
        choosing: NodeId,
        nodes: &[NodeId],
        vars: &Vars,
    ) {
        let Some(Some(there)) = self.0.get(&choosing).cloned() else { return };
        for node in nodes {
            let Some(Some(known)) = self.0.get_mut(node) else { continue };
            let mut wider = known.clone();
            wider.widen(&there);
            machine.put_over(known, &wider, vars);
        }
    }

    /// At each of these nodes nothing is known.
    pub(crate) fn anything(machine: &Machine, nodes: impl Iterator<Item = NodeId>) -> Self {
        Self(nodes.map(|node| (node, Some(machine.unknown(Place::at(node))))).collect())
    }

    /// One more record at a node.
    pub(crate) fn add(&mut self, machine: &Machine, node: NodeId, state: &AbstractState) {
        let known = self.0.entry(node).or_default();
        if stands_found(machine, state) {
            return;
        }
        let mut state = state.clone();
        for rule in machine.found(&state) {
            machine.set_found(&mut state, rule, false);
        }
        match known {
            Some(known) => known.widen(&state),
            None => *known = Some(state),
        }
    }
}

/// Whether a rule was found broken and may still be: in the middle of an act one may have ended that is still owed for.
fn stands_found(machine: &Machine, state: &AbstractState) -> bool {
    let meets = |rule: usize| machine.rules[rule].when.meets(&machine.layout, &state.bits);
    machine.found(state).into_iter().any(meets)
}

/// The record once the act at a node may have been begun: nothing is known of what it writes, nor of what ends with that.
fn begun(machine: &Machine, node: NodeId, state: &AbstractState) -> AbstractState {
    let mut state = state.clone();
    for var in machine.written_by_act(node) {
        machine.apply(&mut state, Effect::Lose(var));
    }
    state
}

fn by_universal() -> Leaving {
    Leaving::Plan { moves: vec![PlanStep::Universal], looks: Vec::new() }
}

/// What acts that restore rely on: what they need, what waits count under, and what together with what they write must never be.
#[must_use]
pub fn relied_on_by_restoring(machine: &Machine) -> BTreeSet<VarId> {
    let mut relied = BTreeSet::new();
    let mut add = |cube: &Cube| relied.extend(cube.0.iter().map(|part| part.var));
    for action in &machine.restoring {
        add(&action.needs);
        let writes = |part: &Conjunct| {
            let to = |effect: &Effect| matches!(effect, Effect::Write(set) if set.var == part.var && set.set & part.set != 0);
            action.effects.iter().any(to)
        };
        let brings = |rule: &&Rule| rule.when.0.iter().any(writes);
        machine.rules.iter().filter(brings).for_each(|rule| add(&rule.when));
    }
    machine.settling.iter().filter_map(|settling| settling.holds.as_ref()).for_each(add);
    relied
}

/// Finds ways to leave a machine; remembers what it found.
pub struct Planner<'m> {
    pub(crate) machine: &'m Machine,
    pub(crate) rest: &'m Cube,
    pub(crate) relevant: Relevant,
    universal: Option<Universal>,
    /// The same as it is told.
    told: Option<Universal>,
    found: BTreeMap<Record, Leaving>,
    served: Served,
}

impl<'m> Planner<'m> {
    /// A planner for a machine whose equipment says in which state it may be left; `None` for one that does not.
    #[must_use]
    pub fn new(machine: &'m Machine) -> Option<Self> {
        let rest = machine.rest.as_ref()?;
        let relevant = Relevant::new(machine, rest);
        Some(Self {
            machine,
            rest,
            relevant,
            universal: None,
            told: None,
            found: BTreeMap::new(),
            served: Served::default(),
        })
    }

    /// The variables that decide whether there is a way: those of the state to be reached, of what restoring actions
    /// need and what a wait counts under, of what they may break or end, and of where it can be seen.
    #[must_use]
    pub fn relevant(&self) -> &BTreeSet<VarId> {
        &self.relevant.vars
    }

    /// The plan from everything unknown.
    pub fn universal(&mut self) -> &Universal {
        let told = match self.told.take() {
            Some(told) => told,
            None => self.told_anew(),
        };
        self.told.insert(told)
    }

    fn told_anew(&mut self) -> Universal {
        let unlimited = Budget { boxes: usize::MAX, go_on: &|| true };
        // Without a limit it does not end early.
        let mut told = self.universal_within(&Meter::new(&unlimited)).cloned().unwrap_or(Universal::Unknown);
        if let Universal::Plan(steps) = &mut told {
            let anything = Known::new(self.machine, Record::anything(self.machine));
            mark(self.machine, self.rest, steps, &[], anything);
        }
        told
    }

    /// The same within a budget.
    pub(crate) fn universal_within(&mut self, meter: &Meter<'_>) -> Result<&Universal, BudgetExhausted> {
        let found = match self.universal.take() {
            Some(found) => found,
            None => universal(self.machine, self.rest, &self.relevant, meter)?,
        };
        Ok(self.universal.insert(found))
    }

    /// The way from a record.
    pub fn leave(&mut self, state: &AbstractState) -> Leaving {
        let unlimited = Budget { boxes: usize::MAX, go_on: &|| true };
        self.leave_told(self.record(state), &Meter::new(&unlimited))
    }

    /// The way where the machine may be as one of several records says and nobody can tell which: one that serves them all.
    pub fn leave_any(&mut self, states: &[AbstractState]) -> Leaving {
        let mut records = states.iter().map(|state| Record::of(self.machine, state, &self.relevant.left_out));
        let Some(first) = records.next() else { return Leaving::Unknown };
        let record = records.fold(first, |all, record| all.either(&record));
        let unlimited = Budget { boxes: usize::MAX, go_on: &|| true };
        let meter = Meter::new(&unlimited);
        let leaving = self.leave_told(record.clone(), &meter);
        match leaving {
            Leaving::Plan { .. } => leaving,
            Leaving::Stuck(_) | Leaving::Unknown => {
                let far = self.as_far_as_it_goes(record, &meter).or_else(|| self.for_whatever_is_true());
                far.unwrap_or(leaving)
            }
        }
    }

    /// The plan for the whole machine, where what was seen against the record leaves no other: where a wait has to be looked at, it
    /// has that look, and a way for whoever sees that it did not help.
    fn for_whatever_is_true(&mut self) -> Option<Leaving> {
        let is_plan = matches!(self.universal(), Universal::Plan(_));
        is_plan.then(by_universal)
    }

    /// What can be done where rules were found broken and the rest cannot be reached: what was found is ended where acts can, the rest
    /// is brought as near to where it may be left as it goes, and then people keep away.
    fn as_far_as_it_goes(&mut self, mut record: Record, meter: &Meter<'_>) -> Option<Leaving> {
        if record.found(self.machine).is_empty() {
            return None;
        }
        let nothing = Cube(Vec::new());
        let known = Known::new(self.machine, record.clone());
        let ended = part_by_part(self.machine, &nothing, known, (TRIED_PARTS, true), meter).ok()?;
        let (mut moves, end) = ended.unwrap_or_else(|| {
            record.forget_found(self.machine);
            (Vec::new(), record)
        });
        let ends_something = !moves.is_empty();
        match self.leave_record(end, meter) {
            Ok(Leaving::Plan { moves: further, looks }) => {
                moves.extend(further);
                moves.extend(looks);
            }
            Ok(Leaving::Stuck(_) | Leaving::Unknown) | Err(_) if ends_something => {}
            Ok(Leaving::Stuck(_) | Leaving::Unknown) | Err(_) => return None,
        }
        moves.push(PlanStep::Cannot);
        Some(Leaving::Plan { moves, looks: Vec::new() })
    }

    /// The way from wherever a person may be at one of several nodes: one that serves everything that may be so there, an act
    /// perhaps begun or just done, unless a look has just found a rule broken. A look of which nobody knows how long it was ago is
    /// made anew where an act of the way relies on it. Where there is a universal plan, it is that one
    /// or a short cut of it.
    pub fn leave_nodes(&mut self, stood: &Stood, nodes: &[NodeId]) -> Leaving {
        let states = nodes.iter().filter_map(|&node| Some((node, stood.0.get(&node)?.as_ref()?)));
        let old = relied_on_by_restoring(self.machine);
        let lapses: Vec<VarId> = self.machine.lapses.iter().map(|(var, _)| *var).collect();
        let records = states.map(|(node, state)| {
            let mut state = begun(self.machine, node, state);
            for var in lapses.iter().filter(|var| old.contains(var)) {
                self.machine.apply(&mut state, Effect::Lose(*var));
            }
            self.record(&state)
        });
        let record = records.reduce(|all, record| all.either(&record));
        let unlimited = Budget { boxes: usize::MAX, go_on: &|| true };
        let meter = Meter::new(&unlimited);
        match (self.universal(), record) {
            (Universal::Plan(steps), Some(record)) => {
                let steps = steps.clone();
                if shorten(self.machine, self.rest, &steps, &record).is_some() {
                    return self.leave_told(record, &meter);
                }
                by_universal()
            }
            (Universal::Plan(_), None) => by_universal(),
            (Universal::Impossible(_) | Universal::Unknown, Some(record)) => self.leave_told(record, &meter),
            (Universal::Impossible(_) | Universal::Unknown, None) => Leaving::Unknown,
        }
    }

    /// The rules that a look may find broken and that the universal plan does not end, with what ends them first, whatever else is
    /// so: rules that the same ends together. Nothing where no acts do.
    pub fn where_found_broken(&mut self) -> Vec<(Vec<usize>, Vec<PlanStep>)> {
        let machine = self.machine;
        let universal = match self.universal() {
            Universal::Plan(steps) => steps.clone(),
            Universal::Impossible(_) | Universal::Unknown => vec![PlanStep::Cannot],
        };
        let unlimited = Budget { boxes: usize::MAX, go_on: &|| true };
        let mut rows: Vec<(Vec<usize>, Vec<PlanStep>)> = Vec::new();
        for rule in machine.findable() {
            let Some(state) = self.only_found(rule) else { continue };
            let record = self.record(&state);
            if shorten(machine, self.rest, &universal, &record).is_some() {
                continue;
            }
            let known = Known::new(machine, record);
            let nothing = Cube(Vec::new());
            let ended = part_by_part(machine, &nothing, known, (TRIED_PARTS, true), &Meter::new(&unlimited));
            let steps = ended.ok().flatten().map_or_else(|| vec![PlanStep::Cannot], |(steps, _)| steps);
            match rows.iter_mut().find(|(_, known)| *known == steps) {
                Some((rules, _)) => rules.push(rule),
                None => rows.push((vec![rule], steps)),
            }
        }
        rows
    }

    /// A rule found broken, of which no more is known; none where it cannot be broken.
    pub(crate) fn only_found(&self, rule: usize) -> Option<AbstractState> {
        let anything = self.machine.unknown(Place::at(self.machine.entry));
        let mut state = self.machine.narrow(&anything, &self.machine.rules[rule].when)?;
        self.machine.set_found(&mut state, rule, true);
        Some(state)
    }

    /// Whether there is no way from a record, and nothing of the way; `None` if the search ended at its limit.
    pub(crate) fn is_stuck(
        &mut self,
        state: &AbstractState,
        meter: &Meter<'_>,
    ) -> Result<Option<bool>, BudgetExhausted> {
        self.universal_within(meter)?;
        let record = self.record(state);
        let universal = match &self.universal {
            Some(Universal::Plan(steps)) => Some(&steps[..]),
            Some(Universal::Impossible(_) | Universal::Unknown) | None => None,
        };
        let plans = Plans { machine: self.machine, rest: self.rest, relevant: &self.relevant, universal };
        // A plan from all that is known need not be one from a part of it that does not last.
        if !record.does_not_last(self.machine) && self.served.serves(&plans, &record, meter)? {
            return Ok(Some(false));
        }
        Ok(match self.leave_record(record, meter)? {
            Leaving::Plan { .. } => Some(false),
            Leaving::Stuck(_) => Some(true),
            Leaving::Unknown => None,
        })
    }

    /// What decides a way, of a state.
    pub(crate) fn record(&self, state: &AbstractState) -> Record {
        Record::of(self.machine, state, &self.relevant.left_out)
    }

    /// The way from a record as it is told: with what is done where nobody can tell.
    fn leave_told(&mut self, record: Record, meter: &Meter<'_>) -> Leaving {
        let mut leaving = self.leave_record(record.clone(), meter).unwrap_or(Leaving::Unknown);
        if let Leaving::Plan { moves, looks: _ } = &mut leaving {
            mark(self.machine, self.rest, moves, &[], Known::new(self.machine, record));
        }
        leaving
    }

    /// The way from a record, within a budget.
    pub(crate) fn leave_record(
        &mut self,
        record: Record,
        meter: &Meter<'_>,
    ) -> Result<Leaving, BudgetExhausted> {
        if let Some(known) = self.found.get(&record) {
            return Ok(known.clone());
        }
        let leaving = self.find(&record, meter)?;
        self.found.insert(record, leaving.clone());
        Ok(leaving)
    }

    fn find(&mut self, record: &Record, meter: &Meter<'_>) -> Result<Leaving, BudgetExhausted> {
        if let Some(from) = beyond_all_acts(self.machine, self.rest, record) {
            return Ok(Leaving::Stuck(from));
        }
        let short = match self.universal_within(meter)? {
            Universal::Plan(steps) => {
                let steps = steps.clone();
                shorten(self.machine, self.rest, &steps, record)
            }
            Universal::Impossible(_) | Universal::Unknown => None,
        };
        let shorter = (SHORTER.0, Instruments::Never);
        let (moves, end) = match short {
            Some((steps, end)) if longest(&steps) < 2 || longest(&steps) > SHORTER.1 => (steps, end),
            Some((steps, end)) => {
                match seek(self.machine, self.rest, &self.relevant, record, shorter, meter)? {
                    Sought::Plan(moves, least) if longest(&moves) < longest(&steps) => (moves, least),
                    Sought::Plan(..) | Sought::Stuck(_) | Sought::Limit => (steps, end),
                }
            }
            None => match self.seek_or_part_by_part(record, meter)? {
                Sought::Plan(moves, end) => (moves, end),
                Sought::Stuck(bits) => return Ok(Leaving::Stuck(bits)),
                Sought::Limit => return Ok(Leaving::Unknown),
            },
        };
        let looks = self.last_looks(&end);
        Ok(Leaving::Plan { moves, looks })
    }

    /// A short plan, one found part by part, or whatever the exact search comes to, in this order.
    fn seek_or_part_by_part(&self, record: &Record, meter: &Meter<'_>) -> Result<Sought, BudgetExhausted> {
        let seek = |limit| {
            let within = (limit, Instruments::IfNeedBe);
            seek(self.machine, self.rest, &self.relevant, record, within, meter)
        };
        let sought = seek(SHORTER.0)?;
        if !matches!(sought, Sought::Limit) {
            return Ok(sought);
        }
        let known = Known::new(self.machine, record.clone());
        match part_by_part(self.machine, self.rest, known, (TRIED_PARTS, true), meter)? {
            Some((moves, end)) => Ok(Sought::Plan(moves, end)),
            None => seek(SEARCH_LIMIT),
        }
    }

    /// A look at each part of the state to be reached that can be seen there.
    fn last_looks(&self, end: &Record) -> Vec<PlanStep> {
        let failed = match self.universal {
            Some(Universal::Plan(_)) => PlanStep::Universal,
            Some(Universal::Impossible(_) | Universal::Unknown) | None => PlanStep::Cannot,
        };
        let seen = self.rest.0.iter().filter(|part| end.reaches(self.machine, part.var));
        let look = seen.map(|part| PlanStep::Again {
            var: part.var,
            values: end.left_with(self.machine, *part),
            failed: vec![failed.clone()],
        });
        look.collect()
    }
}
