//! Random walks of random procedures that the judge finds no fault in: looks that contradict the record, pauses, kills,
//! handovers, stops, verifications and clocks. A walk is never at a place with a record that the judge did not meet there, no
//! act of it breaks a rule, everything that is asked can be answered, and something always leads on.

use super::driver;
use super::people::{Met, PEOPLE, follow};
use crate::support::demo;
use crate::support::walks::{begin, certified};
use machine::{AbstractState, Machine, VarId};
use oracle::judge::{Explored, Judged, explore};
use oracle::{Random, library, shown, varied_documents};
use proof::{Budget, Proof};
use std::collections::BTreeMap;

/// Events over all walks of random procedures, and a tenth of it of bundled ones: `EVENTS`, from the seed `FROM` on.
fn events() -> usize {
    number("EVENTS").unwrap_or(100_000)
}

#[expect(clippy::disallowed_methods, reason = "whoever runs it says how many")]
fn number<T: std::str::FromStr>(name: &str) -> Option<T> {
    std::env::var(name).ok()?.parse().ok()
}

/// Walks of one procedure.
const WALKS: usize = 12;
/// The judge gives procedures with more records up.
const RECORDS: usize = 3_000;

#[test]
fn a_walk_is_only_where_the_judge_was_and_always_leads_on() {
    let mut met = Met::default();
    let mut seed = number("FROM").unwrap_or(0);
    while met.events < events() {
        seed += 1;
        let documents = varied_documents(seed);
        let all: Vec<_> = documents.iter().collect();
        let library = library(&all).unwrap_or_else(|error| panic!("seed {seed}: {error}"));
        let judged = Judged::new(&library, "main");
        let Ok(explored) = explore(&judged, RECORDS) else { continue };
        if !explored.faults.is_empty() {
            continue;
        }
        let proved = Proved::new(&judged, &explored);
        let machine = machine::compile(&library, &"main".into()).expect("a machine");
        if !machine.unseen.is_empty() {
            // It is not begun by hand.
            continue;
        }
        if proved.holds(&machine, &machine.start()).is_err() {
            *met.kinds.entry("other start".to_owned()).or_default() += 1;
            continue;
        }
        let begun = certified(begin(&documents, PEOPLE[0]), &machine);
        for number in 0..WALKS {
            let mut random = Random::new(seed * 1_000 + number as u64);
            let holds = |machine: &Machine, state: &AbstractState| proved.holds(machine, state);
            if let Err(error) = follow(begun.clone(), &holds, &mut random, &mut met) {
                panic!("seed {seed}, walk {number}: {error}\n{}", shown(&all));
            }
        }
    }
    met.told(&[
        "asked-on",
        "answered-with",
        "taken-back",
        "surprise",
        "cannot-tell",
        "restored",
        "verified",
        "not-verified",
        "act-begun",
        "paused",
        "resumed",
        "handed-over",
        "killed",
        "clock-back",
        "retest",
        "wait-over",
        "limit-reached",
        "stopped",
        "completed",
        "before-done",
        "by-record",
        "taken-up",
        "lapsed",
        "grown-old",
        "settled",
        "shut",
        "deviated",
        "certified",
    ]);
}

/// The bundled procedures, which the judge is too slow for: every place is one that the proof reached, with what it needs.
#[test]
fn a_walk_of_a_bundled_procedure_is_only_where_the_proof_was_and_always_leads_on() {
    let mut met = Met::default();
    let machines = demo::PROCEDURES.map(|procedure| {
        let machine = machine::compile(&document::read(&demo::files()).library, &procedure.into());
        let machine = machine.expect("a machine");
        let proof = proof::prove(&machine, &Budget { boxes: 1_000_000, go_on: &|| true });
        let begun = certified(driver::begin(procedure, &demo::files()), &machine);
        assert!(begun.certificate.is_some(), "{procedure}");
        (begun, machine, proof.expect("a proof"))
    });
    let mut seed = number("FROM").unwrap_or(0);
    while met.events < events() / 10 {
        for (begun, _, proof) in &machines {
            seed += 1;
            let holds = |machine: &Machine, state: &AbstractState| reached(proof, machine, state);
            if let Err(error) = follow(begun.clone(), &holds, &mut Random::new(seed), &mut met) {
                panic!("{}, seed {seed}: {error}", begun.begin.procedure);
            }
        }
    }
    let wanted = ["surprise", "cannot-tell", "paused", "handed-over", "killed", "wait-over"];
    met.told(&wanted);
    met.told(&["asked-on", "taken-back", "stopped", "completed", "taken-up", "lapsed", "settled", "shut"]);
}

/// Whether the proof was at the place of the record, and what is needed there is so.
fn reached(proof: &Proof, machine: &Machine, state: &AbstractState) -> Result<(), String> {
    let node = machine.node(state.place.node);
    if !proof.reached[state.place.node.0 as usize] {
        return Err(format!("`{}` was said not to be reached", node.path));
    }
    if let Some(&need) = machine.unmet(state).first() {
        let var = node.needs[need].conjunct.var;
        return Err(format!("`{}` needs `{}`", node.path, machine.layout.var(var).name));
    }
    let unkept = if state.place.node == machine::DONE { machine.unkept(state) } else { Vec::new() };
    let promise = unkept.first().map(|&at| machine.promises[at].conjunct.var);
    promise.map_or(Ok(()), |var| Err(format!("`{}` was promised", machine.layout.var(var).name)))
}

/// Every record that the judge met, by the name of its place.
struct Proved<'a> {
    judged: &'a Judged,
    arrivals: BTreeMap<String, Vec<&'a oracle::judge::Record>>,
}

impl<'a> Proved<'a> {
    fn new(judged: &'a Judged, explored: &'a Explored) -> Self {
        let mut arrivals: BTreeMap<String, Vec<_>> = BTreeMap::new();
        for (place, records) in &explored.arrivals {
            let key = judged.key(place);
            // What was left for a stop is no part of the place.
            let key = if key.ends_with("→ stop") { "stop".to_owned() } else { key };
            arrivals.entry(key).or_default().extend(records);
        }
        Self { judged, arrivals }
    }

    /// Whether the judge met the record of a walk at its place.
    fn holds(&self, machine: &Machine, state: &AbstractState) -> Result<(), String> {
        let key = machine.key(state.place.node);
        let known = self.arrivals.get(&key).map_or(&[][..], Vec::as_slice);
        // What `leaves` names is promised whether an act wrote it or not.
        let is_usual = |var: VarId| {
            machine.promises.iter().any(|promise| {
                promise.conjunct.var == var && promise.source == machine::PromiseSource::Normal
            })
        };
        let is_same = |record: &&&oracle::judge::Record| {
            self.judged.vars.iter().enumerate().all(|(at, var)| {
                let id = machine.layout.find(&var.name).expect("a variable");
                let (mine, theirs) = (state.bits.field(&machine.layout, id), record.field[at]);
                let settling = machine.settling.iter().position(|settling| settling.var == id);
                let rest = |bits: u64| bits >> at & 1 == 1;
                if var.variant {
                    return mine & !theirs == 0;
                }
                mine == theirs
                    && settling.is_none_or(|of| state.clocks[of] == record.clock[at])
                    && machine.is_opened(state, id) == rest(record.opened)
                    && settling.is_none_or(|of| machine.is_look_only(state, of) == rest(record.look_only))
                    && (!is_usual(id) || machine.wrote(state, id) == rest(record.wrote))
            }) && (0..machine.rules.len())
                .all(|rule| machine.is_found(state, rule) == (record.found >> rule & 1 == 1))
        };
        if known.iter().any(|record| is_same(&record)) {
            return Ok(());
        }
        let fields: Vec<String> = self
            .judged
            .vars
            .iter()
            .map(|var| {
                let id = machine.layout.find(&var.name).expect("a variable");
                let words = machine.layout.words_of(id, state.bits.field(&machine.layout, id)).join("|");
                let open = if machine.is_opened(state, id) { "!" } else { "" };
                let wrote = if machine.wrote(state, id) { "w" } else { "" };
                format!("{}={words}{open}{wrote}", var.name)
            })
            .collect();
        Err(format!(
            "at `{key}` the judge never met {fields:?} {:?} found {:?}; it met {known:?}",
            state.clocks,
            machine.found(state)
        ))
    }
}
