//! Every record at every place, kept apart, and what goes wrong.

use super::fault::Fault;
use super::model::{Judged, StepKind};
use super::place::{Phase, Place};
use super::plan::Planner;
use super::record::Record;
use super::relied::Graph;
use std::collections::{BTreeMap, BTreeSet};

/// There are more records, or records of plans, than the judge looks at: no verdict.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TooLarge;

/// What an exploration found.
#[derive(Debug, Default)]
pub struct Explored {
    /// What goes wrong.
    pub faults: BTreeSet<Fault>,
    /// Names of the places reached.
    pub reached: BTreeSet<String>,
    /// Every record that arrives at each place.
    pub arrivals: BTreeMap<Place, BTreeSet<Record>>,
    /// How many records there are.
    pub records: usize,
    /// For each fault a path to it: places with the way taken from each.
    pub paths: BTreeMap<Fault, Vec<String>>,
}

/// A record that came to a place, by their numbers.
struct Arrived {
    at: usize,
    record: Record,
    /// From which arrival, by which way of its place.
    from: Option<(usize, usize)>,
}

/// What is known while everything is explored.
struct Exploring<'a> {
    judged: &'a Judged,
    graph: Graph,
    planner: Planner,
    arrived: Vec<Arrived>,
    /// What goes wrong, and the arrival at which it was seen first, if it was at one.
    faults: BTreeMap<Fault, Option<usize>>,
}

/// Explores the whole procedure.
///
/// # Errors
/// Past so many records there is no verdict.
pub fn explore(judged: &Judged, limit: usize) -> Result<Explored, TooLarge> {
    let mut exploring = Exploring {
        judged,
        graph: judged.graph(),
        planner: Planner::default(),
        arrived: Vec::new(),
        faults: BTreeMap::new(),
    };
    let arrivals = exploring.all(limit)?;
    Ok(exploring.found(arrivals))
}

impl Exploring<'_> {
    /// Every record that arrives at each place.
    fn all(&mut self, limit: usize) -> Result<Vec<BTreeSet<Record>>, TooLarge> {
        let judged = self.judged;
        if !self.planner.can_stop(judged, &judged.nothing_known()).ok_or(TooLarge)? {
            self.tell([Fault::Universal], None);
        }
        let entry = self.graph.number(&judged.entry());
        let (start, faults) = judged.start(self.graph.relied_on(&self.graph.nodes[entry], 0));
        self.tell(faults, None);
        let mut arrivals: Vec<BTreeSet<Record>> = vec![BTreeSet::new(); self.graph.nodes.len()];
        if let Some(record) = start {
            arrivals[entry].insert(record.clone());
            self.arrived.push(Arrived { at: entry, record, from: None });
        }
        let mut next = 0;
        while next < self.arrived.len() {
            if self.arrived.len() > limit {
                return Err(TooLarge);
            }
            if let Some(record) = self.arrive(next)? {
                self.leave(next, &record, &mut arrivals);
            }
            next += 1;
        }
        Ok(arrivals)
    }

    /// Every way on from an arrival with the part of its record that goes on.
    fn leave(&mut self, arrival: usize, record: &Record, arrivals: &mut [BTreeSet<Record>]) {
        let node = &self.graph.nodes[self.arrived[arrival].at];
        let mut told = BTreeSet::new();
        for (number, (way, to)) in node.ways.iter().enumerate() {
            let (records, faults) = self.judged.run(&node.place, record, way);
            told.extend(faults);
            for (record, back) in records {
                if arrivals[to[&back]].insert(record.clone()) {
                    self.arrived.push(Arrived { at: to[&back], record, from: Some((arrival, number)) });
                }
            }
        }
        self.tell(told, Some(arrival));
    }

    fn tell(&mut self, faults: impl IntoIterator<Item = Fault>, at: Option<usize>) {
        for fault in faults {
            self.faults.entry(fault).or_insert(at);
        }
    }

    /// What goes wrong on arrival; the part of the record with which the run goes on.
    fn arrive(&mut self, arrival: usize) -> Result<Option<Record>, TooLarge> {
        let judged = self.judged;
        let arrived = &self.arrived[arrival];
        let node = &self.graph.nodes[arrived.at];
        let mut record = arrived.record.clone();
        let mut faults = Vec::new();
        let key = || node.key.clone();
        let name = |var: usize| judged.vars[var].name.clone();
        if judged.person_stands_at(&node.place) {
            if !self.planner.can_stop(judged, &record).ok_or(TooLarge)? {
                faults.push(Fault::Stop(key()));
            }
            for var in judged.not_known_again(&record, self.graph.relied_on(node, record.wrote)) {
                faults.push(Fault::Resume { at: key(), condition: name(var) });
            }
        }
        if node.place == Place::Done {
            if record.found != 0 {
                faults.push(Fault::Unmended(key()));
            }
            faults.extend(judged.not_promised(&record).into_iter().map(|var| Fault::Promise(name(var))));
        }
        for &(var, set) in &node.needs {
            if record.field[var] & !set != 0 {
                faults.push(Fault::Need { at: key(), condition: name(var), set });
            }
        }
        for &(var, set) in &node.needs {
            record.field[var] &= set;
        }
        let goes_on = !record.field.contains(&0);
        if goes_on {
            judged.keep_in_order(&mut record);
            if judged.is_unanswered(&node.place, &record) {
                faults.push(Fault::Unanswered(key()));
            }
        }
        self.tell(faults, Some(arrival));
        Ok(goes_on.then_some(record))
    }

    fn found(self, arrivals: Vec<BTreeSet<Record>>) -> Explored {
        let paths = self.faults.iter().map(|(fault, at)| (fault.clone(), self.path(*at))).collect();
        let reached = self.graph.nodes.iter().zip(&arrivals).filter(|(_, records)| !records.is_empty());
        Explored {
            reached: reached.map(|(node, _)| node.key.clone()).collect(),
            paths,
            records: self.arrived.len(),
            faults: self.faults.into_keys().collect(),
            arrivals: self
                .graph
                .nodes
                .into_iter()
                .map(|node| node.place)
                .zip(arrivals)
                .filter(|(_, records)| !records.is_empty())
                .collect(),
        }
    }

    /// The places up to an arrival, each but the last with the way taken.
    fn path(&self, to: Option<usize>) -> Vec<String> {
        let Some(last) = to else { return Vec::new() };
        let mut path = vec![self.graph.nodes[self.arrived[last].at].key.clone()];
        let mut at = last;
        while let Some((from, way)) = self.arrived[at].from {
            let node = &self.graph.nodes[self.arrived[from].at];
            path.push(format!("{}: {}", node.key, node.ways[way].0.label));
            at = from;
        }
        path.reverse();
        path
    }
}

impl Judged {
    /// What is promised at done and not surely so (R21).
    fn not_promised(&self, record: &Record) -> Vec<usize> {
        let normals = self.conditions().filter(|&var| record.wrote >> var & 1 == 1);
        let normals = normals.filter(|&var| !self.leaves.iter().any(|&(left, _)| left == var));
        let normals = normals.filter_map(|var| Some((var, self.vars[var].normal?)));
        let promised = self.leaves.iter().copied().chain(normals);
        promised.filter(|&(var, set)| record.field[var] & !set != 0).map(|(var, _)| var).collect()
    }

    /// Whether some value that the record holds possible has no answer (R8).
    fn is_unanswered(&self, place: &Place, record: &Record) -> bool {
        let Place::At(levels, Phase::Body) = place else { return false };
        let StepKind::Ask(answers) = &self.step_at(levels).kind else { return false };
        let mut left = vec![record.field.clone()];
        for (shows, _) in answers {
            let Some(shows) = shows else { return false };
            left = left.iter().flat_map(|field| without(field, shows)).collect();
        }
        !left.is_empty()
    }
}

/// The parts of a box in which a cube does not hold.
fn without(field: &[u64], cube: &[(usize, u64)]) -> Vec<Vec<u64>> {
    let (mut parts, mut rest) = (Vec::new(), field.to_vec());
    for &(var, set) in cube {
        let mut part = rest.clone();
        part[var] &= !set;
        if part[var] != 0 {
            parts.push(part);
        }
        rest[var] &= set;
        if rest[var] == 0 {
            break;
        }
    }
    parts
}
