//! The exploration that gives the verdicts.

use crate::boxes::{changes, successors};
use crate::counts::Counts;
use crate::join::{is_covered, join};
use crate::live::LiveVars;
use crate::meter::{BudgetExhausted, Meter};
use crate::obligation::Obligation;
use crate::order::{Key, Order};
use crate::plan::{Planner, Stood};
use crate::reduce::Reduction;
use crate::report::{self, Ended};
use crate::resume::Resume;
use crate::universal::Universal;
use machine::{AbstractState, Bits, Cube, DONE, Machine, Place, STOP, VarId, Vars};
use std::collections::{BTreeMap, BTreeSet};

/// What came of an exploration.
pub(crate) struct Explored {
    pub(crate) violated: BTreeSet<Obligation>,
    pub(crate) obligations: Counts,
    pub(crate) ended: Option<Ended>,
    pub(crate) reached: Vec<bool>,
    pub(crate) never_done: Vec<Cube>,
    pub(crate) reduction: Reduction,
    pub(crate) stood: Stood,
    pub(crate) no_plan_from: Option<Bits>,
    /// Nodes whose act changed something.
    pub(crate) busy: Vec<bool>,
}

impl Explored {
    /// What came of one item came of all that are like it.
    fn spread(&mut self) {
        for alike in self.reduction.alike() {
            let Some((_, first)) = alike.first() else { continue };
            for at in 0..first.len() {
                let same = || alike.iter().map(|(_, nodes)| nodes[at]);
                for all in [&mut self.reached, &mut self.busy] {
                    let any = same().any(|node| all[node.0 as usize]);
                    same().for_each(|node| all[node.0 as usize] = any);
                }
            }
        }
    }
}

/// Follows boxes from node to node.
pub(crate) struct Explorer<'a, 'p, 'm> {
    machine: &'a Machine,
    order: &'a Order,
    live: &'a LiveVars,
    planner: Option<&'p mut Planner<'m>>,
    meter: &'a Meter<'a>,
    /// What has arrived at a node and has not been looked at.
    waiting: BTreeMap<Key, BTreeMap<Place, Vec<AbstractState>>>,
    /// What was looked at on loops.
    seen: BTreeMap<Place, Vec<AbstractState>>,
    done: Vec<AbstractState>,
    /// How many boxes wait.
    held: usize,
    /// What the machine is about, where it is a part of one.
    part: Option<Vars>,
    resume: &'a Resume,
    explored: Explored,
}

impl<'a, 'p, 'm> Explorer<'a, 'p, 'm> {
    pub(crate) fn new(
        machine: &'a Machine,
        order: &'a Order,
        live: &'a LiveVars,
        planner: Option<&'p mut Planner<'m>>,
        resume: &'a Resume,
        meter: &'a Meter<'a>,
    ) -> Self {
        let explored = Explored {
            violated: BTreeSet::new(),
            obligations: report::at_ends(machine),
            ended: None,
            reached: vec![false; machine.nodes.len()],
            never_done: Vec::new(),
            reduction: Reduction::default(),
            stood: Stood::default(),
            no_plan_from: None,
            busy: vec![false; machine.nodes.len()],
        };
        Self {
            machine,
            order,
            live,
            planner,
            meter,
            waiting: BTreeMap::new(),
            seen: BTreeMap::new(),
            done: Vec::new(),
            held: 0,
            part: None,
            resume,
            explored,
        }
    }

    /// The same of a part of a machine: everything else may be anything, in whatever way it came about.
    pub(crate) fn of_part(mut self, part: &Vars) -> Self {
        self.part = Some(part.clone());
        self.explored.reduction = Reduction::of_part();
        self
    }

    /// Follows everything from the start.
    pub(crate) fn run(mut self) -> Explored {
        if let Err(BudgetExhausted) = self.start() {
            let ended = report::ended(self.machine, self.meter.limit(), self.machine.entry, &[]);
            self.explored.ended = Some(Ended { plan: true, ..ended });
            return self.explored;
        }
        self.follow()
    }

    /// Follows one record alone, of which nothing is asked before it.
    pub(crate) fn run_from(mut self, start: AbstractState) -> Explored {
        self.arrive(start);
        let mut explored = self.follow();
        explored.spread();
        explored
    }

    fn follow(mut self) -> Explored {
        while let Some((key, mut waiting)) = self.waiting.pop_first() {
            self.held -= waiting.values().map(Vec::len).sum::<usize>();
            if let Err(BudgetExhausted) = self.node(key, &mut waiting) {
                let states: Vec<&AbstractState> = waiting.values().flatten().collect();
                self.explored.ended = Some(report::ended(self.machine, self.meter.limit(), key.3, &states));
                return self.explored;
            }
        }
        self.explored.never_done = report::uncovered(self.machine, &self.done);
        // What is known at the places of a part is not asked for.
        if self.planner.is_some() && self.part.is_none() {
            for (choosing, nodes, vars) in self.explored.reduction.beside(self.machine) {
                self.explored.stood.widen_beside(self.machine, choosing, &nodes, &vars);
            }
        }
        self.explored
    }

    fn start(&mut self) -> Result<(), BudgetExhausted> {
        let machine = self.machine;
        let violated = &mut self.explored.violated;
        if let Some(planner) = self.planner.as_deref_mut() {
            match planner.universal_within(self.meter)? {
                Universal::Plan(_) => {}
                Universal::Impossible(from) => {
                    violated.insert(Obligation::Universal);
                    self.explored.no_plan_from = Some(from.clone());
                }
                Universal::Unknown => return Err(BudgetExhausted),
            }
        }
        let broken = machine.broken_at_start();
        violated.extend(broken.iter().map(|&rule| Obligation::Rule { rule, by: None }));
        if broken.is_empty() {
            let start = machine.start();
            let is_unmet = |at: &usize| {
                let unseen = machine.unseen[*at];
                start.bits.field(&machine.layout, unseen.var) & !unseen.set != 0
            };
            violated.extend((0..machine.unseen.len()).filter(is_unmet).map(Obligation::Unseen));
            machine.met_at_start().into_iter().for_each(|start| self.arrive(start));
        }
        Ok(())
    }

    fn arrive(&mut self, mut state: AbstractState) {
        self.live.project_dead(&mut state);
        let waiting = self.waiting.entry(self.order.key(state.place)).or_default();
        let waiting = waiting.entry(state.place).or_default();
        // What is asked of what stops was asked on the way: that something does is enough.
        if state.place.node != STOP || waiting.is_empty() {
            waiting.push(state);
            self.held += 1;
        }
    }

    fn node(
        &mut self,
        key: Key,
        waiting: &mut BTreeMap<Place, Vec<AbstractState>>,
    ) -> Result<(), BudgetExhausted> {
        let node = key.3;
        for states in waiting.values_mut() {
            join(self.machine, self.live, states, self.meter)?;
        }
        if !std::mem::replace(&mut self.explored.reached[node.0 as usize], true) {
            self.explored.obligations += report::obligations_of(self.machine, self.machine.node(node));
            self.explored.obligations.resumes += self.resume.count(self.machine, node);
        }
        for (place, states) in waiting {
            self.boxes(*place, states)?;
        }
        Ok(())
    }

    fn boxes(&mut self, place: Place, states: &mut Vec<AbstractState>) -> Result<(), BudgetExhausted> {
        let (machine, live) = (self.machine, self.live);
        let looped = self.order.is_looped(place.node);
        if looped {
            let seen = self.seen.entry(place).or_default();
            self.meter.work(states.len() * seen.len() / 16)?;
            states.retain(|state| !seen.iter().any(|known| is_covered(machine, live, state, known)));
            seen.extend(states.iter().cloned());
        }
        // On a loop boxes come again later, with more to know: there every order is followed.
        if place.items == 0 && !looped {
            let asked = self.asked_everywhere();
            self.explored.reduction.enter(machine, &asked, place.node, states);
        }
        states.reverse();
        while let Some(state) = states.last() {
            self.meter.keep(1)?;
            let state = state.clone();
            self.look_at(&state)?;
            self.explored.busy[machine.act_of(place.node).0 as usize] |= changes(machine, &state);
            let follow = |place, outcome| self.explored.reduction.follows(machine, place, outcome);
            let next = successors(machine, &state, &follow, &mut self.explored.violated);
            self.meter.work(next.len())?;
            for (_, next) in next {
                if next.place.node == STOP {
                    self.leave(&next, Obligation::StopAfter(machine.told_at(place.node)))?;
                }
                self.arrive(next);
            }
            self.meter.hold(machine, self.held)?;
            states.pop();
        }
        Ok(())
    }

    /// What is asked wherever a person stands: whether the machine can be left, where that is not so of whatever is true of it;
    /// and what nobody can always make sure of again.
    fn asked_everywhere(&mut self) -> BTreeSet<VarId> {
        let mut asked = self.resume.hangs_on.clone();
        if self.explored.violated.contains(&Obligation::Universal)
            && let Some(planner) = &self.planner
        {
            asked.extend(planner.relevant());
        }
        asked
    }

    /// What is asked of a box whatever its step does.
    fn look_at(&mut self, state: &AbstractState) -> Result<(), BudgetExhausted> {
        let node = state.place.node;
        if node == DONE {
            self.done.push(state.clone());
        }
        if node == STOP || !self.machine.node(node).is_stood_at() {
            return Ok(());
        }
        let told = self.machine.told_at(node);
        self.leave(state, Obligation::Stop(told))?;
        for var in self.resume.lost(self.machine, state) {
            self.explored.violated.insert(Obligation::Resume { node: told, var });
        }
        Ok(())
    }

    fn leave(&mut self, state: &AbstractState, of: Obligation) -> Result<(), BudgetExhausted> {
        let Some(planner) = self.planner.as_deref_mut() else { return Ok(()) };
        let beside = self.part.as_ref().map(|part| beside(self.machine, part, state));
        match planner.is_stuck(beside.as_ref().unwrap_or(state), self.meter)? {
            Some(false) => {}
            Some(true) => {
                self.explored.violated.insert(of);
            }
            // That there is no plan for the whole equipment is told; what more is missing is seen once there is one, and is not
            // searched for at every place.
            None if self.explored.violated.contains(&Obligation::Universal) => {
                self.planner = None;
                return Ok(());
            }
            None => return Err(BudgetExhausted),
        }
        let node = self.machine.told_at(state.place.node);
        if node != STOP {
            self.explored.stood.add(self.machine, node, state);
        }
        Ok(())
    }
}

/// The record of a part with the least that may be known of everything else: a way from it is one from whatever is known.
fn beside(machine: &Machine, part: &Vars, state: &AbstractState) -> AbstractState {
    let mut state = state.clone();
    for var in machine.layout.ids().filter(|&var| !part.has(var)) {
        state.bits.set_field(&machine.layout, var, machine.layout.all(var));
        machine.set_opened(&mut state, var, true);
    }
    for (at, settling) in machine.settling.iter().enumerate() {
        if !part.has(settling.var) {
            state.clocks[at] = 0;
            if !machine.sight(settling.var).is_hidden {
                machine.set_look_only(&mut state, at);
            }
        }
    }
    state
}
