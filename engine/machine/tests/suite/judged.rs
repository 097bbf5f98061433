//! Every record of random procedures: the machine's step function and the judge (`oracle::judge`), which knows nothing but the
//! documents, make the same of every record at every place.

use machine::{AbstractState, Machine, NodeId, NodeKind, PromiseSource, STOP, VarId};
use oracle::judge::{Judged, Record, explore};
use oracle::{cases, enumerated, library, shown, varied_documents};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

/// How many random procedures are compared.
const CASES: u64 = 700;
/// How many records of one procedure the judge looks at.
const RECORDS: usize = 20_000;

#[test]
fn every_record_of_random_procedures_is_the_judges() {
    let documents = (0..CASES).map(varied_documents);
    let (records, given_up) = compare(documents);
    assert!(records > 25_000 && given_up < 20, "{records} records, {given_up} too large");
}

#[test]
fn every_record_of_short_sequences_is_the_judges() {
    let (records, given_up) = compare(enumerated(2));
    assert!(records > 1_000 && given_up == 0, "{records} records");
}

#[test]
fn every_record_of_the_labelled_cases_is_the_judges() {
    for case in cases() {
        let library = case.library().unwrap_or_else(|error| panic!("{}: {error}", case.name));
        if let Err(error) = same(&library) {
            panic!("{}: {error}", case.name);
        }
    }
}

fn compare(all: impl Iterator<Item = Vec<Value>>) -> (usize, usize) {
    let (mut records, mut given_up) = (0, 0);
    let mut wrong = Vec::new();
    for (number, documents) in all.enumerate() {
        let documents: Vec<&Value> = documents.iter().collect();
        let library = library(&documents).unwrap_or_else(|error| panic!("{number}: {error}"));
        match same(&library) {
            Ok(Some(more)) => records += more,
            Ok(None) => given_up += 1,
            Err(error) => wrong.push(format!("{number}: {error}\n{}", shown(&documents))),
        }
    }
    assert!(
        wrong.is_empty(),
        "{} wrong, the first {}",
        wrong.len(),
        wrong.first().map_or("", String::as_str)
    );
    (records, given_up)
}

/// How many records the two have in common; `None` where they are too many for the judge.
fn same(library: &document::Library) -> Result<Option<usize>, String> {
    let judged = Judged::new(library, "main");
    let Ok(found) = explore(&judged, RECORDS) else { return Ok(None) };
    let machine = machine::compile(library, &"main".into()).map_err(|error| error.to_string())?;
    let mut theirs: BTreeMap<String, BTreeSet<Record>> = BTreeMap::new();
    // The judge remembers of every condition with a usual value that an act wrote it, also where the procedure promises it.
    let promised = machine.promises.iter().filter(|promise| promise.source == PromiseSource::Normal);
    let usual: u64 = promised.map(|promise| 1 << promise.conjunct.var.0).sum();
    for (place, records) in &found.arrivals {
        let records = records.iter().map(|record| Record { wrote: record.wrote & usual, ..record.clone() });
        theirs.entry(judged.key(place)).or_default().extend(records);
    }
    let mine = arrivals(&machine);
    let keys: BTreeSet<&String> = mine.keys().chain(theirs.keys()).collect();
    let none = BTreeSet::new();
    let mut wrong = Vec::new();
    for key in keys {
        let (mine, theirs) = (mine.get(key).unwrap_or(&none), theirs.get(key).unwrap_or(&none));
        if mine != theirs {
            let mine_alone: Vec<_> = mine.difference(theirs).collect();
            let theirs_alone: Vec<_> = theirs.difference(mine).collect();
            let told =
                |records: &[&Record]| records.iter().map(|one| format!("\n    {one:?}")).collect::<String>();
            wrong.push(format!(
                "`{key}`: the machine's{}\n  the judge's{}",
                told(&mine_alone),
                told(&theirs_alone)
            ));
        }
    }
    if !wrong.is_empty() {
        return Err(wrong.join("\n"));
    }
    Ok(Some(mine.values().map(BTreeSet::len).sum()))
}

/// Every record at every place, by the machine's own step function; nothing is joined.
fn arrivals(machine: &Machine) -> BTreeMap<String, BTreeSet<Record>> {
    let mut all: BTreeMap<String, BTreeSet<Record>> = BTreeMap::new();
    let mut seen: BTreeSet<(AbstractState, Option<NodeId>)> = BTreeSet::new();
    let start = if machine.broken_at_start().is_empty() { machine.met_at_start() } else { None };
    let mut open: Vec<(AbstractState, Option<NodeId>)> =
        start.into_iter().map(|start| (start, None)).collect();
    while let Some((state, left)) = open.pop() {
        if !seen.insert((state.clone(), left)) {
            continue;
        }
        let node = state.place.node;
        if !matches!(machine.node(node).kind, NodeKind::Follows { .. }) || machine.told_at(node) == node {
            let key = match left {
                Some(left) => format!("{} → stop", machine.key(left)),
                None => machine.key(node),
            };
            all.entry(key).or_default().insert(record(machine, &state));
        }
        for outcome in machine.open(state.place) {
            for next in machine.follow(&state, outcome).into_iter().filter(|next| next.broken.is_empty()) {
                let left = (next.state.place.node == STOP).then_some(machine.told_at(node));
                open.push((next.state, left));
            }
        }
    }
    all
}

/// A state in the judge's form: one number a variable, one bit a member.
fn record(machine: &Machine, state: &AbstractState) -> Record {
    let vars: Vec<VarId> = machine.layout.ids().collect();
    let bits = |is_in: &dyn Fn(VarId) -> bool| -> u64 {
        vars.iter().map(|&var| u64::from(is_in(var)) << var.0).sum()
    };
    let settling = |var: VarId| machine.settling.iter().position(|settling| settling.var == var);
    Record {
        field: vars.iter().map(|&var| state.bits.field(&machine.layout, var)).collect(),
        clock: vars.iter().map(|&var| settling(var).map_or(0, |at| state.clocks[at])).collect(),
        opened: bits(&|var| machine.is_opened(state, var)),
        look_only: bits(&|var| settling(var).is_some_and(|at| machine.is_look_only(state, at))),
        found: machine.found(state).into_iter().map(|rule| 1 << rule).sum(),
        wrote: bits(&|var| machine.wrote(state, var)),
    }
}
