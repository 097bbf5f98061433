//! The proof against SPIN.

use super::batch::{Batch, observe};
use super::events::key;
use super::generate::generate;
use super::model::{Model, TIPS};
use super::yaml::documents;
use document::InputFile;
use machine::{Choice, Machine, NeedSource, Node, NodeKind};
use proof::{Budget, Obligation, Proof};
use std::collections::BTreeSet;
use std::ops::Range;

/// Procedures in one run of SPIN: the compiler's fixed cost is shared, and its tables stay small.
const BATCH: u64 = 50;

/// What was compared.
#[derive(Debug, Default)]
pub(crate) struct Tally {
    pub(crate) cases: u64,
    /// Procedures with a violated precondition, rule or promise, or an unanswered question.
    pub(crate) faulty: u64,
    pub(crate) faults: u64,
    pub(crate) reached: u64,
    pub(crate) states: u64,
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
        states: sum.states + tally.states,
    })
}

fn all(seeds: Range<u64>) -> Tally {
    let mut tally = Tally::default();
    let seeds: Vec<u64> = seeds.collect();
    for seeds in seeds.chunks(BATCH as usize) {
        let models: Vec<Model> = seeds.iter().map(|&seed| generate(seed)).collect();
        let Batch { observed, states } = observe(&models);
        tally.states += states;
        for ((seed, model), spin) in seeds.iter().zip(&models).zip(observed) {
            let texts = documents(model);
            let show = |what: &str| format!("seed {seed}: {what}\n{}\n{}", texts.join("---\n"), spin.promela);
            let ours = |boxes| prove(&texts, boxes).unwrap_or_else(|error| panic!("{}", show(&error)));
            for boxes_at_join in [usize::MAX, 0] {
                let ours = ours(boxes_at_join);
                if ours != spin.events {
                    let missed: Vec<_> = spin.events.difference(&ours).collect();
                    let alone: Vec<_> = ours.difference(&spin.events).collect();
                    let told = format!(
                        "above {boxes_at_join} boxes diagrams: found by SPIN alone: {missed:?}; by the proof alone: {alone:?}"
                    );
                    panic!("{}", show(&told));
                }
            }
            let ours = spin.events;
            let fault = |event: &&String| {
                ["need", "rule", "promise", "unanswered"].iter().any(|kind| event.starts_with(kind))
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

/// What the proof says of the documents, as SPIN's events; above so many boxes it takes diagrams.
fn prove(texts: &[String], boxes_at_join: usize) -> Result<BTreeSet<String>, String> {
    let file = |(at, text): (usize, &String)| InputFile {
        name: format!("{at}.yaml"),
        bytes: text.clone().into_bytes(),
    };
    let reading = document::read(&texts.iter().enumerate().map(file).collect::<Vec<_>>());
    if let Some(finding) = reading.findings.iter().find(|found| found.severity == document::Severity::Error) {
        return Err(format!("not read: {} {}", finding.code, finding.message));
    }
    let machine = machine::compile(&reading.library, &"main".into()).map_err(|error| error.to_string())?;
    let budget = Budget { boxes: 1_000_000, go_on: &|| true };
    let proof =
        proof::prove_above(&machine, &budget, boxes_at_join).map_err(|error| format!("no proof: {error}"))?;
    if proof.ended.is_some() {
        return Err("the exploration did not end by itself".to_owned());
    }
    Ok(events(&machine, &proof))
}

fn events(machine: &Machine, proof: &Proof) -> BTreeSet<String> {
    let mut events = BTreeSet::new();
    for (node, _) in machine.nodes.iter().zip(&proof.reached).filter(|(_, reached)| **reached) {
        events.insert(format!("reached {}", key_of(node)));
    }
    let names = |var: machine::VarId| &machine.layout.var(var).name;
    for refuted in &proof.refuted {
        events.insert(match refuted.obligation {
            Obligation::Need { node, need } => {
                let node = machine.node(node);
                let need = &node.needs[need];
                let source = match need.source {
                    NeedSource::Step => "step",
                    NeedSource::Work(_) => "work",
                    NeedSource::Action(_) => "action",
                    NeedSource::Procedure(_) => "procedure",
                };
                format!("need {} {source} {} {}", key_of(node), names(need.conjunct.var), need.conjunct.set)
            }
            Obligation::Rule { rule, by } => {
                let by = by.map_or_else(|| "start".to_owned(), |node| key_of(machine.node(node)));
                format!("rule {} by {by}", machine.rules[rule].name)
            }
            Obligation::Promise(promise) => {
                format!("promise {}", names(machine.promises[promise].conjunct.var))
            }
            Obligation::Answered(node) => format!("unanswered {}", key_of(machine.node(node))),
            Obligation::Stop(_) | Obligation::Resume { .. } => continue,
        });
    }
    for (tip, name) in TIPS.iter().enumerate() {
        let without = |cube: &machine::Cube| cube.0.iter().all(|conjunct| conjunct.set >> tip & 1 == 1);
        if !proof.never_done.iter().any(without) {
            events.insert(format!("finishes {name}"));
        }
    }
    let ids = (0..machine.nodes.len() as u32).map(machine::NodeId);
    for id in ids.filter(|id| proof.reached[id.0 as usize] && !proof.idle.contains(id)) {
        let node = machine.node(id);
        let sets = node.outcomes.first().map_or(&[][..], |outcome| &outcome.sets);
        if node.kind == NodeKind::Act && !sets.is_empty() && sets.iter().all(|set| set.set.count_ones() == 1)
        {
            events.insert(format!("busy {}", key_of(node)));
        }
    }
    events
}

fn key_of(node: &Node) -> String {
    let phase = match &node.kind {
        NodeKind::Route if node.outcomes.first().is_some_and(|first| first.choice == Choice::Done) => "last",
        NodeKind::Route => "only",
        NodeKind::AnyOrder { .. } => "choose",
        NodeKind::RepeatUntil { round, .. } => {
            return key(&node.path, &node.rounds, &format!("until {round}"));
        }
        NodeKind::Measure { attempt, .. } if *attempt > 1 => {
            return key(&node.path, &node.rounds, &format!("attempt {attempt}"));
        }
        _ => "body",
    };
    key(&node.path, &node.rounds, phase)
}
