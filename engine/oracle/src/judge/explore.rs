//! Every record at every place, kept apart, and what goes wrong.

use super::fault::Fault;
use super::model::{Judged, StepKind};
use super::place::{Phase, Place};
use super::plan::Planner;
use super::record::Record;
use super::relied::Graph;
use std::collections::{BTreeMap, BTreeSet, VecDeque};

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

struct Arrived {
    place: Place,
    record: Record,
    /// From which arrival, by which way.
    from: Option<(usize, String)>,
}

/// Explores the whole procedure.
///
/// # Errors
/// Past so many records there is no verdict.
pub fn explore(judged: &Judged, limit: usize) -> Result<Explored, TooLarge> {
    let graph = judged.graph();
    let mut found = Explored::default();
    let mut planner = Planner::default();
    if !planner.can_stop(judged, &judged.nothing_known()).ok_or(TooLarge)? {
        found.tell([Fault::Universal], &[], None, judged);
    }
    let (start, faults) = judged.start(&graph);
    found.tell(faults, &[], None, judged);
    let mut arrived: Vec<Arrived> = Vec::new();
    let mut open = VecDeque::new();
    if let Some(record) = start {
        let place = judged.entry();
        found.arrivals.entry(place.clone()).or_default().insert(record.clone());
        arrived.push(Arrived { place, record, from: None });
        open.push_back(0);
    }
    while let Some(at) = open.pop_front() {
        if arrived.len() > limit {
            return Err(TooLarge);
        }
        let (place, record) = (arrived[at].place.clone(), arrived[at].record.clone());
        found.reached.insert(judged.key(&place));
        let (faults, record) = arrive(judged, &graph, &mut planner, &place, record)?;
        found.tell(faults, &arrived, Some(at), judged);
        let Some(record) = record else { continue };
        for way in &graph.ways[&place] {
            let (records, faults) = judged.run(&place, &record, way);
            found.tell(faults, &arrived, Some(at), judged);
            for record in records {
                if found.arrivals.entry(way.to.clone()).or_default().insert(record.clone()) {
                    open.push_back(arrived.len());
                    arrived.push(Arrived {
                        place: way.to.clone(),
                        record,
                        from: Some((at, way.label.clone())),
                    });
                }
            }
        }
    }
    found.records = arrived.len();
    Ok(found)
}

impl Explored {
    fn tell(
        &mut self,
        faults: impl IntoIterator<Item = Fault>,
        arrived: &[Arrived],
        mut at: Option<usize>,
        judged: &Judged,
    ) {
        for fault in faults {
            if !self.faults.insert(fault.clone()) {
                continue;
            }
            let mut path: Vec<String> = Vec::new();
            if let Some(last) = at {
                path.push(judged.key(&arrived[last].place));
            }
            while let Some((from, label)) = at.and_then(|at| arrived[at].from.as_ref()) {
                path.push(format!("{}: {label}", judged.key(&arrived[*from].place)));
                at = Some(*from);
            }
            path.reverse();
            self.paths.insert(fault, path);
        }
    }
}

/// What goes wrong on arrival, and the part of the record with which the run goes on.
fn arrive(
    judged: &Judged,
    graph: &Graph,
    planner: &mut Planner,
    place: &Place,
    mut record: Record,
) -> Result<(BTreeSet<Fault>, Option<Record>), TooLarge> {
    let mut faults = BTreeSet::new();
    let key = || judged.key(place);
    let name = |var: usize| judged.vars[var].name.clone();
    if judged.person_stands_at(place) {
        if !planner.can_stop(judged, &record).ok_or(TooLarge)? {
            faults.insert(Fault::Stop(key()));
        }
        for var in judged.not_known_again(&record, graph.relied_on(place, record.wrote)) {
            faults.insert(Fault::Resume { at: key(), condition: name(var) });
        }
    }
    if *place == Place::Done {
        if record.found != 0 {
            faults.insert(Fault::Unmended(key()));
        }
        faults.extend(judged.not_promised(&record).into_iter().map(|var| Fault::Promise(name(var))));
    }
    let needs = judged.needs(place);
    for &(var, set) in &needs {
        if record.field[var] & !set != 0 {
            faults.insert(Fault::Need { at: key(), condition: name(var), set });
        }
    }
    for (var, set) in needs {
        record.field[var] &= set;
    }
    if record.field.contains(&0) {
        return Ok((faults, None));
    }
    judged.keep_in_order(&mut record);
    if judged.is_unanswered(place, &record) {
        faults.insert(Fault::Unanswered(key()));
    }
    Ok((faults, Some(record)))
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
