//! The exploration that gives the verdicts.

use crate::boxes::{changes, permitted, successors};
use crate::counts::Counts;
use crate::diagram::{Clocks, NONE, Root, Space};
use crate::join::{Arrival, join};
use crate::live::LiveVars;
use crate::meter::{BudgetExhausted, Meter};
use crate::obligation::Obligation;
use crate::order::{Key, Order};
use crate::plan::{Leaving, Planner};
use crate::reduce::Reduction;
use crate::report::{self, Ended};
use crate::resume::Resume;
use machine::{AbstractState, Cube, DONE, Machine, NodeId, Place, VarId};
use std::collections::{BTreeMap, BTreeSet};

pub(crate) struct Explored<'a> {
    pub(crate) violated: BTreeSet<Obligation>,
    pub(crate) obligations: Counts,
    pub(crate) ended: Option<Ended>,
    pub(crate) reached: Vec<bool>,
    pub(crate) never_done: Vec<Cube>,
    pub(crate) reduction: Reduction,
    pub(crate) leaving: BTreeMap<NodeId, Vec<Leaving>>,
    /// Nodes whose act changed something.
    pub(crate) busy: Vec<bool>,
    /// The diagrams that were made, if any.
    pub(crate) space: Option<Space<'a>>,
    /// The states from which a lapse leads where the exploration has not been.
    pub(crate) lapsed: BTreeMap<Obligation, Root>,
}

/// What has arrived at a node and has not been looked at.
#[derive(Default)]
struct Waiting {
    boxes: BTreeMap<Place, Vec<Arrival<()>>>,
    /// Where boxes were too many: one diagram for all with the same clocks.
    sets: BTreeMap<Clocks, Root>,
}

impl Waiting {
    fn states(&self) -> impl Iterator<Item = &AbstractState> {
        self.boxes.values().flatten().map(|arrival| &arrival.state)
    }
}

pub(crate) struct Explorer<'a, 'p, 'm> {
    machine: &'a Machine,
    order: &'a Order,
    live: &'a LiveVars,
    planner: Option<&'p mut Planner<'m>>,
    meter: &'a Meter<'a>,
    /// Above so many boxes at a node diagrams take over.
    boxes_at_join: usize,
    waiting: BTreeMap<Key, Waiting>,
    seen_boxes: BTreeMap<Place, Vec<AbstractState>>,
    seen_sets: BTreeMap<NodeId, BTreeMap<Clocks, Root>>,
    done: Vec<AbstractState>,
    resume: Resume,
    explored: Explored<'a>,
}

impl<'a, 'p, 'm> Explorer<'a, 'p, 'm> {
    pub(crate) fn new(
        machine: &'a Machine,
        order: &'a Order,
        live: &'a LiveVars,
        planner: Option<&'p mut Planner<'m>>,
        meter: &'a Meter<'a>,
        boxes_at_join: usize,
    ) -> Self {
        let explored = Explored {
            violated: BTreeSet::new(),
            obligations: Counts {
                promises: machine.promises.len(),
                rules: machine.rules.len(),
                ..Counts::default()
            },
            ended: None,
            reached: vec![false; machine.nodes.len()],
            never_done: Vec::new(),
            reduction: Reduction::default(),
            leaving: BTreeMap::new(),
            busy: vec![false; machine.nodes.len()],
            space: None,
            lapsed: BTreeMap::new(),
        };
        Self {
            machine,
            order,
            live,
            planner,
            meter,
            boxes_at_join,
            waiting: BTreeMap::new(),
            seen_boxes: BTreeMap::new(),
            seen_sets: BTreeMap::new(),
            done: Vec::new(),
            resume: Resume::new(machine),
            explored,
        }
    }

    /// Follows everything from the start.
    pub(crate) fn run(mut self) -> Explored<'a> {
        let all: Vec<VarId> = self.machine.layout.ids().collect();
        for state in permitted(self.machine, &self.machine.start(), &all, None, &mut self.explored.violated) {
            self.arrive(state);
        }
        while let Some((key, mut waiting)) = self.waiting.pop_first() {
            if let Err(BudgetExhausted) = self.node(key, &mut waiting) {
                self.explored.ended = Some(self.ended(key.3, &waiting));
                return self.explored;
            }
        }
        let Explored { space, lapsed, .. } = &mut self.explored;
        let closed = self.resume.close(self.machine, space.as_mut(), lapsed);
        self.explored.violated.extend(self.explored.lapsed.keys());
        if let Err((BudgetExhausted, node)) = closed {
            self.explored.ended = Some(self.ended(node, &Waiting::default()));
        }
        self.explored.never_done = report::uncovered(self.machine, &self.done);
        self.explored
    }

    fn arrive(&mut self, mut state: AbstractState) {
        self.live.project_dead(self.machine, &mut state);
        let waiting = self.waiting.entry(self.order.key(state.place)).or_default();
        waiting.boxes.entry(state.place).or_default().push(Arrival { state, from: Vec::new() });
    }

    fn ended(&self, node: NodeId, waiting: &Waiting) -> Ended {
        match &self.explored.space {
            Some(space) if !waiting.sets.is_empty() => {
                report::ended_with_sets(node, space.profile(waiting.sets.values()))
            }
            _ => report::ended(self.machine, node, &waiting.states().collect::<Vec<_>>()),
        }
    }

    fn node(&mut self, key: Key, waiting: &mut Waiting) -> Result<(), BudgetExhausted> {
        let node = key.3;
        for arrivals in waiting.boxes.values_mut() {
            join(self.machine, arrivals, self.meter)?;
        }
        self.represent(node, waiting)?;
        if !std::mem::replace(&mut self.explored.reached[node.0 as usize], true) {
            self.explored.obligations += report::obligations_of(self.machine, self.machine.node(node));
        }
        if !waiting.sets.is_empty() {
            return self.sets(key, waiting);
        }
        for (place, arrivals) in &mut waiting.boxes {
            self.boxes(*place, arrivals)?;
        }
        Ok(())
    }

    /// Diagrams where the boxes are too many, and boxes again where a few of them will do.
    fn represent(&mut self, node: NodeId, waiting: &mut Waiting) -> Result<(), BudgetExhausted> {
        if waiting.sets.is_empty() && waiting.states().count() <= self.boxes_at_join {
            return Ok(());
        }
        if self.explored.space.is_none() {
            self.explored.space = Space::new(self.machine, self.live, self.meter);
        }
        let Some(space) = &mut self.explored.space else { return Ok(()) };
        for arrival in waiting.boxes.values().flatten() {
            let set = space.encode(&arrival.state)?;
            let known = waiting.sets.get(&arrival.state.clocks).copied().unwrap_or(NONE);
            waiting.sets.insert(arrival.state.clocks.clone(), space.store.union(known, set)?);
        }
        waiting.boxes.clear();
        let few = self.boxes_at_join / 4;
        let mut boxes = Vec::new();
        for (clocks, &root) in &waiting.sets {
            if boxes.len() > few {
                return Ok(());
            }
            boxes.extend(space.boxes(root, node, clocks, few + 1));
        }
        if boxes.len() <= few {
            waiting.sets.clear();
            // What falls is in another box: each is closed by itself.
            for state in boxes.iter().filter_map(|state| self.machine.narrow(state, &Cube::default())) {
                let arrivals = waiting.boxes.entry(state.place).or_default();
                arrivals.push(Arrival { state, from: Vec::new() });
            }
            for arrivals in waiting.boxes.values_mut() {
                join(self.machine, arrivals, self.meter)?;
            }
        }
        Ok(())
    }

    fn boxes(&mut self, place: Place, arrivals: &mut Vec<Arrival<()>>) -> Result<(), BudgetExhausted> {
        let looped = self.order.is_looped(place.node);
        if looped {
            let seen = self.seen_boxes.entry(place).or_default();
            self.meter.work(arrivals.len() * seen.len() / 16)?;
            arrivals.retain(|arrival| !seen.iter().any(|known| arrival.state.is_within(known)));
            seen.extend(arrivals.iter().map(|arrival| arrival.state.clone()));
        }
        // On a loop boxes come again later, with more to know: there every order is followed.
        if place.items == 0 && !looped {
            let states: Vec<&AbstractState> = arrivals.iter().map(|arrival| &arrival.state).collect();
            let reduction = &mut self.explored.reduction;
            reduction.enter(self.machine, self.planner.as_deref(), &self.resume.vars, place.node, &states);
        }
        arrivals.reverse();
        while let Some(arrival) = arrivals.last() {
            self.meter.keep(1)?;
            let state = arrival.state.clone();
            self.look_at(&state)?;
            self.explored.busy[place.node.0 as usize] |= changes(self.machine, &state);
            let follow = |place, outcome| self.explored.reduction.follows(self.machine, place, outcome);
            let next = successors(self.machine, &state, &follow, &mut self.explored.violated);
            self.meter.work(next.len())?;
            next.into_iter().for_each(|(_, _, state)| self.arrive(state));
            arrivals.pop();
        }
        Ok(())
    }

    /// What is asked of a box whatever its step does.
    fn look_at(&mut self, state: &AbstractState) -> Result<(), BudgetExhausted> {
        let node = state.place.node;
        if node == DONE {
            self.done.push(state.clone());
        }
        if !report::person_stands_at(self.machine.node(node)) {
            return Ok(());
        }
        self.leave(state)?;
        if self.resume.concerns(node) {
            if self.explored.space.is_none() {
                self.explored.space = Space::new(self.machine, self.live, self.meter);
            }
            if let Some(space) = &mut self.explored.space {
                let root = space.encode(state)?;
                self.resume.reached(space, node, root)?;
            }
        }
        Ok(())
    }

    fn leave(&mut self, state: &AbstractState) -> Result<(), BudgetExhausted> {
        let Some(planner) = self.planner.as_deref_mut() else { return Ok(()) };
        let node = state.place.node;
        let leaving = planner.leave_within(state, self.meter)?;
        if leaving.stuck().is_some() {
            self.explored.violated.insert(Obligation::Stop(node));
        } else if leaving == Leaving::Unknown {
            return Err(BudgetExhausted);
        }
        let known = self.explored.leaving.entry(node).or_default();
        if !known.contains(&leaving) {
            known.push(leaving);
        }
        Ok(())
    }

    fn sets(&mut self, key: Key, waiting: &Waiting) -> Result<(), BudgetExhausted> {
        let node = key.3;
        for (clocks, &root) in &waiting.sets {
            let Some(space) = &mut self.explored.space else { return Ok(()) };
            let mut root = space.unknown(root, clocks, &waiting.sets, true)?;
            if self.order.is_looped(node) {
                let seen = self.seen_sets.entry(node).or_default();
                root = space.unknown(root, clocks, seen, false)?;
                let before = seen.get(clocks).copied().unwrap_or(NONE);
                seen.insert(clocks.clone(), space.store.union(before, root)?);
            }
            if root != NONE {
                self.meter.keep(1)?;
                self.set(key, clocks, root)?;
            }
        }
        Ok(())
    }

    fn set(&mut self, key: Key, clocks: &Clocks, root: Root) -> Result<(), BudgetExhausted> {
        let node = key.3;
        let Some(space) = &mut self.explored.space else { return Ok(()) };
        if node == DONE {
            let variants = space.project_onto(root, &|var| report::is_variant(self.machine, var))?;
            self.done.extend(space.boxes(variants, node, clocks, usize::MAX));
        }
        let person = report::person_stands_at(self.machine.node(node));
        if person && self.resume.concerns(node) {
            self.resume.reached(space, node, root)?;
        }
        let visit = space.visit(node, clocks, root)?;
        let to_leave = match self.planner.as_deref() {
            Some(planner) if person => {
                space.beliefs(&planner.relevant().iter().copied().collect::<Vec<_>>(), root, node, clocks)?
            }
            _ => Vec::new(),
        };
        self.explored.violated.extend(visit.violated.keys());
        self.explored.busy[node.0 as usize] |= visit.changes;
        for way in visit.ways {
            let to = self.machine.node(node).outcomes[way.outcome].to;
            let waiting = self.waiting.entry(self.order.key_after(self.machine, key, to)).or_default();
            let known = waiting.sets.get(&way.clocks).copied().unwrap_or(NONE);
            waiting.sets.insert(way.clocks, space.store.union(known, way.root)?);
        }
        to_leave.iter().try_for_each(|state| self.leave(state))
    }
}
