//! One procedure before both.

use document::Library;
use document::model::Name;
use machine::{DONE, Machine, NodeId};
use oracle::judge::{Fault, Judged, explore};
use proof::{Budget, Obligation, prove};
use std::collections::BTreeSet;

/// How many records the judge looks at.
const RECORDS: usize = 30_000;

#[derive(Debug, Default)]
pub(crate) struct Compared {
    pub(crate) compared: usize,
    pub(crate) faulty: usize,
    /// Too large for the judge.
    pub(crate) given_up: usize,
}

impl Compared {
    pub(crate) fn one(&mut self, library: &Library, procedure: &str) -> Result<(), String> {
        let Ok(judged) = explore(&Judged::new(library, procedure), RECORDS) else {
            self.given_up += 1;
            return Ok(());
        };
        let proved = proved(library, procedure)?;
        self.compared += 1;
        self.faulty += usize::from(!judged.faults.is_empty());
        if proved == judged.faults {
            return Ok(());
        }
        let missed = judged.faults.difference(&proved).map(|fault| {
            let path = judged.paths.get(fault).map(|path| path.join(" > "));
            format!("  only judged: {fault} {fault:?}\n    {}", path.unwrap_or_default())
        });
        let more = proved.difference(&judged.faults).map(|fault| format!("  only proof: {fault} {fault:?}"));
        Err(missed.chain(more).collect::<Vec<_>>().join("\n"))
    }
}

/// What the proof refutes, in the judge's words.
pub(crate) fn proved(library: &Library, procedure: &str) -> Result<BTreeSet<Fault>, String> {
    let machine = machine::compile(library, &Name::from(procedure)).expect("a machine");
    let budget = Budget { boxes: 3_000_000, go_on: &|| true };
    let proof = prove(&machine, &budget).map_err(|error| error.to_string())?;
    assert!(proof.ended.is_none(), "the proof ended early: {:?}", proof.ended);
    Ok(proof.refuted.iter().map(|refuted| fault(&machine, refuted.obligation)).collect())
}

fn fault(machine: &Machine, of: Obligation) -> Fault {
    let name = |var| machine.layout.var(var).name.to_string();
    let key = |node: NodeId| if node == DONE { "done".to_owned() } else { machine.key(node) };
    match of {
        Obligation::Need { node, need } => {
            let conjunct = machine.node(node).needs[need].conjunct;
            Fault::Need { at: key(node), condition: name(conjunct.var), set: conjunct.set }
        }
        Obligation::Unseen(at) => {
            let conjunct = machine.unseen[at];
            Fault::Need { at: "start".to_owned(), condition: name(conjunct.var), set: conjunct.set }
        }
        Obligation::Rule { rule, by } => Fault::Rule {
            rule: machine.rules[rule].name.to_string(),
            at: by.map_or_else(|| "start".to_owned(), key),
        },
        Obligation::Unmended(node) => Fault::Unmended(key(node)),
        Obligation::Promise(at) => Fault::Promise(name(machine.promises[at].conjunct.var)),
        Obligation::Answered(node) => Fault::Unanswered(key(node)),
        Obligation::Stop(node) => Fault::Stop(key(node)),
        Obligation::StopAfter(node) => Fault::Stop(format!("{} → stop", key(node))),
        Obligation::Universal => Fault::Universal,
        Obligation::Resume { node, var } => Fault::Resume { at: key(node), condition: name(var) },
    }
}
