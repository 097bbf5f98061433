//! Shortest runs to what the exploration found violated.
//!
//! Breadth first, a move a layer, until each violated obligation was met once or the budget ends. Records of different ways are
//! not merged here, so that a run is what its moves make of one start: only a record that says nothing that another at its
//! place did not say before is dropped.

use crate::join::is_covered;
use crate::live::LiveVars;
use crate::meter::{BudgetExhausted, Meter};
use crate::obligation::Obligation;
use crate::plan::Planner;
use crate::reduce::Reduction;
use crate::resume::Resume;
use crate::wanted::Wanted;
use machine::{AbstractState, Machine, Place, ReplayError, STOP, Trace};
use std::collections::{BTreeMap, BTreeSet};

/// Above so many records at one place only equal ones are dropped.
const PAIRWISE_LIMIT: usize = 64;

/// Why a search ends before its time.
#[derive(Debug)]
pub(crate) enum Halt {
    /// The budget has ended.
    BudgetExhausted,
    /// A run does not replay: a fault of ours.
    Fault(ReplayError),
}

impl From<BudgetExhausted> for Halt {
    fn from(_: BudgetExhausted) -> Self {
        Self::BudgetExhausted
    }
}

impl From<ReplayError> for Halt {
    fn from(error: ReplayError) -> Self {
        Self::Fault(error)
    }
}

/// A record that was come to, and from which other by which outcome.
pub(crate) struct Visited {
    pub(crate) state: AbstractState,
    pub(crate) from: Option<(usize, usize)>,
}

/// What was seen at a place.
#[derive(Default)]
struct Seen {
    first: Vec<AbstractState>,
    others: BTreeSet<AbstractState>,
}

/// What is searched, how far, and what was found.
pub(crate) struct Search<'a, 'm> {
    pub(crate) machine: &'a Machine,
    pub(crate) live: &'a LiveVars,
    pub(crate) planner: Option<&'a mut Planner<'m>>,
    pub(crate) resume: &'a Resume,
    pub(crate) meter: &'a Meter<'a>,
    pub(crate) reduction: &'a Reduction,
    pub(crate) tree: Vec<Visited>,
    pub(crate) found: BTreeMap<Obligation, Trace>,
}

impl Search<'_, '_> {
    /// A shortest run to each of these, as far as the budget goes.
    pub(crate) fn run(
        mut self,
        wanted: &BTreeSet<Obligation>,
    ) -> Result<BTreeMap<Obligation, Trace>, ReplayError> {
        match self.layers(Wanted::new(self.machine, wanted)) {
            Ok(()) | Err(Halt::BudgetExhausted) => Ok(self.found),
            Err(Halt::Fault(error)) => Err(error),
        }
    }

    fn layers(&mut self, mut wanted: Wanted) -> Result<(), Halt> {
        let machine = self.machine;
        self.tree.push(Visited { state: machine.start(), from: None });
        for of in wanted.at_start() {
            self.tell(&mut wanted, 0, None, of)?;
        }
        self.tree.clear();
        if !machine.broken_at_start().is_empty() {
            return Ok(());
        }
        let mut seen: BTreeMap<Place, Seen> = BTreeMap::new();
        let mut layer: Vec<Visited> =
            machine.met_at_start().into_iter().map(|state| Visited { state, from: None }).collect();
        while !wanted.is_empty() && !layer.is_empty() {
            let mut next = Vec::new();
            for mut visited in layer {
                let place = visited.state.place;
                if !wanted.leads_on(place.node) {
                    continue;
                }
                self.live.project_dead(&mut visited.state);
                if self.is_new(seen.entry(place).or_default(), &visited.state)? {
                    self.meter.keep(1)?;
                    self.tree.push(visited);
                    self.visit(&mut wanted, &mut next)?;
                }
            }
            layer = next;
        }
        Ok(())
    }

    fn is_new(&self, seen: &mut Seen, state: &AbstractState) -> Result<bool, Halt> {
        self.meter.work(1 + seen.first.len() / 16)?;
        let covers = |known: &AbstractState| is_covered(self.machine, self.live, state, known);
        if seen.first.iter().any(covers) {
            return Ok(false);
        }
        if seen.first.len() < PAIRWISE_LIMIT {
            seen.first.push(state.clone());
            return Ok(true);
        }
        Ok(seen.others.insert(state.clone()))
    }

    /// What goes wrong at the last record of the tree, or by leaving it; and where it leads.
    fn visit(&mut self, wanted: &mut Wanted, layer: &mut Vec<Visited>) -> Result<(), Halt> {
        let machine = self.machine;
        let at = self.tree.len() - 1;
        let state = self.tree[at].state.clone();
        let here = state.place.node;
        for of in wanted.here(machine, &state) {
            if self.goes_wrong(of, &state, None, None)? {
                self.tell(wanted, at, None, of)?;
            }
        }
        for outcome in machine.open(state.place) {
            if !self.reduction.follows(machine, state.place, outcome) {
                continue;
            }
            for next in machine.follow(&state, outcome) {
                self.meter.work(1)?;
                let by = machine.act_of(here);
                let mut told: Vec<Obligation> =
                    next.broken.iter().map(|&rule| Obligation::Rule { rule, by: Some(by) }).collect();
                told.extend(next.unmended.then_some(Obligation::Unmended(by)));
                let stop = Obligation::StopAfter(machine.told_at(here));
                if next.broken.is_empty()
                    && next.state.place.node == STOP
                    && wanted.has(stop)
                    && self.goes_wrong(stop, &next.state, Some(here), Some(&next))?
                {
                    told.push(stop);
                }
                for of in told.into_iter().filter(|&of| wanted.has(of)).collect::<Vec<_>>() {
                    self.tell(wanted, at, Some(outcome), of)?;
                }
                if next.broken.is_empty() {
                    layer.push(Visited { state: next.state, from: Some((at, outcome)) });
                }
            }
            self.meter.hold(machine, layer.len())?;
        }
        Ok(())
    }

    fn tell(
        &mut self,
        wanted: &mut Wanted,
        at: usize,
        last: Option<usize>,
        of: Obligation,
    ) -> Result<(), Halt> {
        let trace = self.trace(at, last, of)?;
        self.found.insert(of, trace);
        wanted.remove(self.machine, of);
        Ok(())
    }
}
