//! The proof against SPIN.

use super::batch::{Batch, observe};
use super::generate::generate;
use super::model::{Model, TIPS};
use super::yaml::documents;
use document::InputFile;
use machine::{Effect, Machine, NodeId, NodeKind};
use proof::{Budget, Obligation, Proof};
use std::collections::BTreeSet;
use std::ops::Range;

/// Procedures in one run of SPIN: the compiler's fixed cost is shared, and its tables stay small.
const BATCH: u64 = 50;

/// What was compared.
#[derive(Debug, Default)]
pub(crate) struct Tally {
    pub(crate) cases: u64,
    /// Procedures with a violated precondition, rule or promise, an unanswered question or a rule found broken and not ended.
    pub(crate) faulty: u64,
    pub(crate) faults: u64,
    pub(crate) reached: u64,
    /// Procedures in which an item of a group was offered again, which the proof does not tell.
    pub(crate) offered_again: u64,
    pub(crate) states: u64,
    /// Procedures that the reader refuses because a step is done on no machine, or that are too large to be proved.
    pub(crate) given_up: u64,
}

/// Why there is nothing to compare.
enum Unproved {
    /// A step is done on no machine.
    DoneNowhere,
    /// The budget ended.
    Ended,
    /// Something that must not be.
    Fault(String),
}

/// Compares the procedures of all seeds, on two threads; panics at the first disagreement.
pub(crate) fn compare(seeds: Range<u64>) -> Tally {
    let middle = seeds.start + (seeds.end - seeds.start) / 2;
    let halves = [seeds.start..middle, middle..seeds.end];
    let tallies: Vec<Tally> = std::thread::scope(|scope| {
        let running: Vec<_> = halves.into_iter().map(|seeds| scope.spawn(|| all(seeds))).collect();
        let ended = running.into_iter().map(|thread| thread.join());
        ended.map(|tally| tally.unwrap_or_else(|panic| std::panic::resume_unwind(panic))).collect()
    });
    tallies.into_iter().fold(Tally::default(), |sum, tally| Tally {
        cases: sum.cases + tally.cases,
        faulty: sum.faulty + tally.faulty,
        faults: sum.faults + tally.faults,
        reached: sum.reached + tally.reached,
        offered_again: sum.offered_again + tally.offered_again,
        states: sum.states + tally.states,
        given_up: sum.given_up + tally.given_up,
    })
}

fn all(seeds: Range<u64>) -> Tally {
    let mut tally = Tally::default();
    let seeds: Vec<u64> = seeds.collect();
    for seeds in seeds.chunks(BATCH as usize) {
        let models: Vec<Model> = seeds.iter().map(|&seed| generate(seed)).collect();
        let Batch { observed, states } = observe(&models);
        tally.states += states;
        for ((seed, model), mut spin) in seeds.iter().zip(&models).zip(observed) {
            let before = spin.events.len();
            spin.events.retain(|event| !event.starts_with("offered again"));
            tally.offered_again += u64::from(spin.events.len() < before);
            let texts = documents(model);
            let show = |what: &str| format!("seed {seed}: {what}\n{}\n{}", texts.join("---\n"), spin.promela);
            let ours = match prove(&texts) {
                Ok(ours) => ours,
                // Nothing to compare: it is told that some step is done on no machine, or that the budget ended.
                Err(Unproved::DoneNowhere | Unproved::Ended) => {
                    tally.given_up += 1;
                    continue;
                }
                Err(Unproved::Fault(error)) => panic!("{}", show(&error)),
            };
            if ours != spin.events {
                let missed: Vec<_> = spin.events.difference(&ours).collect();
                let alone: Vec<_> = ours.difference(&spin.events).collect();
                let told = format!("found by SPIN alone: {missed:?}; by the proof alone: {alone:?}");
                panic!("{}", show(&told));
            }
            let ours = spin.events;
            let fault = |event: &&String| {
                ["need", "rule", "unmended", "promise", "unanswered"]
                    .iter()
                    .any(|kind| event.starts_with(kind))
            };
            let faults = ours.iter().filter(fault).count() as u64;
            tally.cases += 1;
            tally.faulty += u64::from(faults > 0);
            tally.faults += faults;
            tally.reached += ours.iter().filter(|event| event.starts_with("reached")).count() as u64;
        }
    }
    tally
}

/// What the proof says of the documents, as SPIN's events.
fn prove(texts: &[String]) -> Result<BTreeSet<String>, Unproved> {
    let file = |(at, text): (usize, &String)| InputFile {
        name: format!("{at}.yaml"),
        bytes: text.clone().into_bytes(),
    };
    let reading = document::read(&texts.iter().enumerate().map(file).collect::<Vec<_>>());
    if let Some(finding) = reading.findings.iter().find(|found| found.severity == document::Severity::Error) {
        if finding.code == "N23" {
            return Err(Unproved::DoneNowhere);
        }
        return Err(Unproved::Fault(format!("not read: {} {}", finding.code, finding.message)));
    }
    let machine = machine::compile(&reading.library, &"main".into())
        .map_err(|error| Unproved::Fault(error.to_string()))?;
    let budget = Budget { boxes: 1_000_000, go_on: &|| true };
    let proof =
        proof::prove(&machine, &budget).map_err(|error| Unproved::Fault(format!("no proof: {error}")))?;
    if proof.ended.is_some() {
        return Err(Unproved::Ended);
    }
    Ok(events(&machine, &proof))
}

fn events(machine: &Machine, proof: &Proof) -> BTreeSet<String> {
    let mut events = BTreeSet::new();
    let key = |node: NodeId| machine.key(node);
    let reached = (0..).map(NodeId).zip(&proof.reached).filter(|(_, reached)| **reached);
    let reached: Vec<NodeId> = reached.map(|(node, _)| node).collect();
    events.extend(reached.iter().map(|&node| format!("reached {}", key(node))));
    let name = |var: machine::VarId| &machine.layout.var(var).name;
    for refuted in &proof.refuted {
        events.insert(match refuted.obligation {
            Obligation::Need { node, need } => {
                let conjunct = machine.node(node).needs[need].conjunct;
                format!("need {} {} {}", key(node), name(conjunct.var), conjunct.set)
            }
            Obligation::Unseen(at) => {
                let conjunct = machine.unseen[at];
                format!("need start {} {}", name(conjunct.var), conjunct.set)
            }
            Obligation::Rule { rule, by } => {
                format!("rule {} by {}", machine.rules[rule].name, by.map_or_else(|| "start".to_owned(), key))
            }
            Obligation::Unmended(node) => format!("unmended {}", key(node)),
            Obligation::Promise(promise) => {
                format!("promise {}", name(machine.promises[promise].conjunct.var))
            }
            Obligation::Answered(node) => format!("unanswered {}", key(node)),
            Obligation::Stop(_)
            | Obligation::StopAfter(_)
            | Obligation::Universal
            | Obligation::Resume { .. } => continue,
        });
    }
    for (tip, name) in TIPS.iter().enumerate() {
        let without = |cube: &machine::Cube| cube.0.iter().all(|conjunct| conjunct.set >> tip & 1 == 1);
        if !proof.never_done.iter().any(without) {
            events.insert(format!("finishes {name}"));
        }
    }
    let told =
        |node: &NodeId| machine.node(*node).kind == NodeKind::Act && sets_single_values(machine, *node);
    let busy = reached.iter().filter(|node| told(node) && !proof.idle.contains(node));
    events.extend(busy.map(|&node| format!("busy {}", key(node))));
    events
}

/// Whether an act, from this node of it on, writes something, and single values alone.
fn sets_single_values(machine: &Machine, node: NodeId) -> bool {
    let single = |effect: &Effect| matches!(effect, Effect::Write(set) if set.set.count_ones() == 1);
    machine.node(node).outcomes.iter().all(|outcome| {
        let goes_on = matches!(machine.node(outcome.to.node).kind, NodeKind::InAct { .. });
        let rest = !goes_on || sets_single_values(machine, outcome.to.node);
        !outcome.effects.is_empty() && outcome.effects.iter().all(single) && rest
    })
}
