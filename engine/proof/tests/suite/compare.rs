//! The proof against the judge, for one procedure: every fault, both ways.

use document::Library;
use machine::{Machine, VarId};
use oracle::judge::{Explored, Fault, Judged, explore};
use proof::{Budget, Obligation, Proof};
use std::collections::BTreeSet;

/// Records past which the judge gives up.
pub(crate) const LIMIT: usize = 30_000;

/// What a comparison looked at.
#[derive(Debug, Default)]
pub(crate) struct Compared {
    pub(crate) cases: usize,
    pub(crate) faulty: usize,
    pub(crate) wrong: usize,
    pub(crate) records: usize,
    pub(crate) boxes: usize,
    pub(crate) moves: usize,
    pub(crate) given_up: usize,
    /// How many were proved part by part too.
    pub(crate) by_parts: usize,
}

impl Compared {
    /// Compares one procedure, or says how the two differ.
    pub(crate) fn one(&mut self, library: &Library, name: &str) -> Result<(), String> {
        let Ok(found) = explore(&Judged::new(library, name), LIMIT) else {
            self.given_up += 1;
            return Ok(());
        };
        let (machine, proof) = proved(library, name)?;
        agree(&found, &machine, &proof)?;
        self.by_parts += usize::from(by_parts(&machine, &proof)?);
        self.moves += runs(&machine, &proof)?;
        self.cases += 1;
        self.faulty += usize::from(!found.faults.is_empty());
        self.wrong += found.faults.len();
        self.records += found.records;
        self.boxes += proof.boxes;
        Ok(())
    }
}

/// Whether it is proved part by part: then the whole is, and the same is said of it.
fn by_parts(machine: &Machine, whole: &Proof) -> Result<bool, String> {
    let budget = Budget { boxes: 1_000_000, go_on: &|| true };
    let Some(parts) = proof::by_parts(machine, &budget) else { return Ok(false) };
    let same = parts.refuted.is_empty()
        && whole.refuted.is_empty()
        && parts.counts == whole.counts
        && parts.reached == whole.reached
        && parts.idle.iter().all(|act| whole.idle.contains(act))
        && parts.never_done.is_empty() == whole.never_done.is_empty()
        && parts.stood.nodes().eq(whole.stood.nodes());
    if same { Ok(true) } else { Err(format!("by parts {parts:?}\n and as a whole {whole:?}")) }
}

/// Every fault that a run leads to has one; gives how many moves they have together.
fn runs(machine: &Machine, proof: &Proof) -> Result<usize, String> {
    let mut moves = 0;
    for refuted in &proof.refuted {
        if refuted.obligation == Obligation::Universal {
            continue;
        }
        let wrong = fault(machine, refuted.obligation);
        let Some(trace) = &refuted.trace else { return Err(format!("{wrong} has no run")) };
        machine.replay(trace).map_err(|error| format!("{wrong}: {error}"))?;
        moves += trace.moves.len();
    }
    Ok(moves)
}

/// The same things go wrong, and the same places are reached.
fn agree(found: &Explored, machine: &Machine, proof: &Proof) -> Result<(), String> {
    let mine: BTreeSet<Fault> =
        proof.refuted.iter().map(|refuted| fault(machine, refuted.obligation)).collect();
    if found.faults != mine {
        let missed: Vec<_> = found.faults.difference(&mine).map(|fault| shown(found, fault)).collect();
        let false_alarms: Vec<_> = mine.difference(&found.faults).map(ToString::to_string).collect();
        return Err(format!("missed by the proof: {missed:#?}; false alarms: {false_alarms:#?}"));
    }
    let reached: BTreeSet<String> = (0..)
        .map(machine::NodeId)
        .zip(&proof.reached)
        .filter(|(node, reached)| **reached && *node != machine::STOP)
        .map(|(node, _)| machine.key(node))
        .collect();
    let theirs: BTreeSet<String> =
        found.reached.iter().filter(|key| !key.ends_with("→ stop")).cloned().collect();
    if theirs != reached {
        let missed: Vec<_> = theirs.difference(&reached).collect();
        let too_many: Vec<_> = reached.difference(&theirs).collect();
        return Err(format!("reached, and not by the proof: {missed:?}; by the proof alone: {too_many:?}"));
    }
    Ok(())
}

fn shown(found: &Explored, fault: &Fault) -> String {
    format!("{fault}: {}", found.paths.get(fault).map(|path| path.join(" > ")).unwrap_or_default())
}

/// What the proof refutes, in the judge's words.
pub(crate) fn refuted(library: &Library, name: &str) -> Result<BTreeSet<Fault>, String> {
    let (machine, proof) = proved(library, name)?;
    Ok(proof.refuted.iter().map(|refuted| fault(&machine, refuted.obligation)).collect())
}

fn proved(library: &Library, name: &str) -> Result<(Machine, Proof), String> {
    let machine = machine::compile(library, &name.into()).map_err(|error| error.to_string())?;
    let budget = Budget { boxes: 1_000_000, go_on: &|| true };
    let proof = proof::prove(&machine, &budget).map_err(|error| format!("no proof: {error}"))?;
    if proof.ended.is_some() {
        return Err("the exploration did not end by itself".to_owned());
    }
    Ok((machine, proof))
}

/// An obligation of the proof in the judge's words.
fn fault(machine: &Machine, obligation: Obligation) -> Fault {
    let name = |var: VarId| machine.layout.var(var).name.to_string();
    match obligation {
        Obligation::Need { node, need } => {
            let conjunct = machine.node(node).needs[need].conjunct;
            Fault::Need { at: machine.key(node), condition: name(conjunct.var), set: conjunct.set }
        }
        Obligation::Unseen(at) => {
            let conjunct = machine.unseen[at];
            Fault::Need { at: "start".to_owned(), condition: name(conjunct.var), set: conjunct.set }
        }
        Obligation::Rule { rule, by } => Fault::Rule {
            rule: machine.rules[rule].name.to_string(),
            at: by.map_or_else(|| "start".to_owned(), |node| machine.key(node)),
        },
        Obligation::Unmended(node) => Fault::Unmended(machine.key(node)),
        Obligation::Promise(promise) => Fault::Promise(name(machine.promises[promise].conjunct.var)),
        Obligation::Answered(node) => Fault::Unanswered(machine.key(node)),
        Obligation::Stop(node) => Fault::Stop(machine.key(node)),
        Obligation::StopAfter(node) => Fault::Stop(format!("{} → stop", machine.key(node))),
        Obligation::Universal => Fault::Universal,
        Obligation::Resume { node, var } => Fault::Resume { at: machine.key(node), condition: name(var) },
    }
}
