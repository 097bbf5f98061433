//! From what was read to all findings.

use crate::accept::Accepted;
use crate::context::Context;
use crate::judge;
use crate::performed::is_performed;
use crate::second::{self, Second};
use crate::together::together;
use document::model::Name;
use document::{Diagnostic, Library, Reading, Severity, SourceId};
use form::Certificate;
use machine::{CompileError, Machine, ReplayError};
use proof::{Budget, Obligation, Proof, Refuted, Unclaimed};
use std::fmt;

/// A fault of our own, never of a document.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fault {
    /// A counterexample does not replay.
    Replay(Name, ReplayError),
    /// A procedure without findings does not compile.
    Compile(Name, CompileError),
    /// A second program does not agree with what was proved, and says where.
    Disagreement(Name, String),
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Replay(procedure, error) => write!(f, "`{procedure}`: {error}"),
            Self::Disagreement(procedure, refusal) => {
                write!(f, "`{procedure}` was proved, but the second program does not agree: {refusal}")
            }
            Self::Compile(procedure, error) => {
                write!(f, "`{procedure}` was read without findings, but {error}")
            }
        }
    }
}

impl std::error::Error for Fault {}

/// One procedure with what was proved of it.
pub struct Checked {
    /// Its name.
    pub procedure: Name,
    /// The machine; `None` if documents it relies on have errors, or it is too large.
    pub machine: Option<Machine>,
    /// What was proved; `None` without a machine.
    pub proof: Option<Proof>,
    /// What a second program says of that.
    pub second: Second,
    /// What was claimed, where it agrees; whose it is is said where it is kept.
    pub claimed: Option<Certificate>,
    /// What the graph, the proof and the rules about wording found.
    pub findings: Vec<Diagnostic>,
    /// What its author accepts of that, with the reasons.
    pub accepted: Vec<Accepted>,
}

impl Checked {
    /// Lets go of what neither verdicts nor findings tell: the machine, and what is known at each of its places.
    pub fn let_go(&mut self) {
        (self.machine, self.claimed) = (None, None);
        if let Some(proof) = &mut self.proof {
            proof.let_go();
        }
        self.findings.shrink_to_fit();
    }

    /// Whether anything found in it is an error. A procedure in which no run breaks anything still has one where, for
    /// example, no run comes to `done`.
    #[must_use]
    pub fn has_errors(&self) -> bool {
        self.findings.iter().any(|finding| finding.severity == Severity::Error)
    }
}

/// Everything that was checked.
pub struct Report {
    /// The documents.
    pub library: Library,
    /// What reading found.
    pub reading: Vec<Diagnostic>,
    /// The procedures, in the order of the library.
    pub procedures: Vec<Checked>,
    /// What the rules found in the equipment documents themselves.
    pub ground: Vec<Diagnostic>,
    /// What the authors of equipment documents accept of that, with the reasons.
    pub accepted: Vec<Accepted>,
}

impl Report {
    /// Puts together what was read and checked, and looks at the equipment documents as they are written.
    #[must_use]
    pub fn new(reading: Reading, procedures: Vec<Checked>) -> Self {
        let Reading { library, findings } = reading;
        let faulty = |source: SourceId| {
            findings
                .iter()
                .any(|finding| finding.severity == Severity::Error && finding.place.source == source)
        };
        let mut ground = Vec::new();
        let mut accepted = Vec::new();
        for equipment in library.equipment.values().filter(|equipment| !faulty(equipment.source)) {
            let (told, silenced) = judge::equipment(&library, equipment);
            ground.extend(told);
            accepted.extend(silenced);
        }
        Self { library, reading: findings, procedures, ground, accepted }
    }

    /// The certificate of what was proved of a procedure, if a second program agrees with it.
    #[must_use]
    pub fn certificate(&self, procedure: &str) -> Option<Certificate> {
        let checked = self.procedures.iter().find(|checked| &*checked.procedure == procedure)?;
        second::certificate(&self.library, checked.machine.as_ref()?, checked.claimed.as_ref()?)
    }

    /// The hash of that, which stands beside an approval.
    #[must_use]
    pub fn certificate_hash(&self, procedure: &str) -> Option<String> {
        form::hash(&self.certificate(procedure)?).ok()
    }

    /// Everything that authors accept, by document and place.
    #[must_use]
    pub fn accepted(&self) -> Vec<&Accepted> {
        let of_procedures = self.procedures.iter().flat_map(|checked| &checked.accepted);
        let mut all: Vec<&Accepted> = self.accepted.iter().chain(of_procedures).collect();
        all.sort_by_key(|accepted| (accepted.finding.place, accepted.finding.code));
        all
    }

    /// All findings, by document and place; those of one cause as one.
    #[must_use]
    pub fn findings(&self) -> Vec<Diagnostic> {
        let proved = self.procedures.iter().flat_map(|checked| &checked.findings);
        let mut all: Vec<Diagnostic> =
            self.reading.iter().chain(&self.ground).chain(proved).cloned().collect();
        all.sort_by(|a, b| (a.place, a.code, &a.message).cmp(&(b.place, b.code, &b.message)));
        all.dedup();
        together(all)
    }

    /// Whether a procedure may be issued: neither it nor a document it relies on has an error.
    #[must_use]
    pub fn is_sound(&self, procedure: &str) -> bool {
        let compiled = |checked: &Checked| &*checked.procedure == procedure && checked.machine.is_some();
        self.procedures.iter().any(compiled) && self.errors_of(procedure).is_empty()
    }

    /// The errors that keep a procedure from being issued: its own, and those of documents it relies on.
    #[must_use]
    pub fn errors_of(&self, procedure: &str) -> Vec<Diagnostic> {
        let mut findings = self.findings_of(procedure);
        findings.retain(|finding| finding.severity == Severity::Error);
        findings
    }

    /// Everything found in a procedure, and in documents it relies on; findings of one cause as one.
    #[must_use]
    pub fn findings_of(&self, procedure: &str) -> Vec<Diagnostic> {
        let relied_on = self.library.relies_on(procedure);
        let read = self.reading.iter().chain(&self.ground);
        let read = read.filter(|finding| relied_on.contains(&finding.place.source));
        let own = self.procedures.iter().filter(|checked| &*checked.procedure == procedure);
        together(read.chain(own.flat_map(|checked| &checked.findings)).cloned().collect())
    }

    /// What the authors of a procedure, and of the documents it relies on, accept at its place.
    #[must_use]
    pub fn accepted_of(&self, procedure: &str) -> Vec<&Accepted> {
        let relied_on = self.library.relies_on(procedure);
        let mut accepted = self.accepted();
        accepted.retain(|one| relied_on.contains(&one.place.source));
        accepted
    }
}

/// Checks every procedure that was read.
///
/// # Errors
/// Only for a fault of our own.
pub fn check(reading: Reading, budget: &Budget<'_>) -> Result<Report, Fault> {
    let mut procedures = Vec::with_capacity(reading.library.procedures.len());
    for name in reading.library.procedures.keys() {
        procedures.push(check_one(&reading.library, &reading.findings, name, budget)?);
    }
    Ok(Report::new(reading, procedures))
}

/// Whether reading found an error in what a procedure is made of.
#[must_use]
pub fn relies_on_errors(library: &Library, reading: &[Diagnostic], procedure: &str) -> bool {
    let relied_on = library.relies_on(procedure);
    reading
        .iter()
        .any(|finding| finding.severity == Severity::Error && relied_on.contains(&finding.place.source))
}

/// Checks one procedure of a library that was read with these findings.
///
/// # Errors
/// Only for a fault of our own.
pub fn check_one(
    library: &Library,
    reading: &[Diagnostic],
    name: &Name,
    budget: &Budget<'_>,
) -> Result<Checked, Fault> {
    let mut checked = Checked {
        procedure: name.clone(),
        machine: None,
        proof: None,
        second: Second::NotAsked,
        claimed: None,
        findings: Vec::new(),
        accepted: Vec::new(),
    };
    let faulty = relies_on_errors(library, reading, name);
    let Some(procedure) = library.procedures.get(name).filter(|_| !faulty) else { return Ok(checked) };
    let Some(equipment) = library.equipment.get(&procedure.model.equipment) else { return Ok(checked) };
    let compiled = machine::compile(library, name);
    (checked.findings, checked.accepted) =
        judge::procedure(library, procedure, &equipment.model, compiled.as_ref().ok());
    // A procedure is as sound as what it performs.
    for other in library.performed_by(name) {
        let (mut told, _) = judge::procedure(library, other, &equipment.model, None);
        told.retain(|finding| finding.severity == Severity::Error);
        checked.findings.extend(told);
    }
    let machine = match compiled {
        Ok(machine) => machine,
        Err(error @ CompileError::TooLarge) => {
            checked.findings.extend(judge::too_large(procedure, &error));
            return Ok(checked);
        }
        Err(error) => return Err(Fault::Compile(name.clone(), error)),
    };
    let shape = proof::shape(&machine);
    let mut proof = proof::prove(&machine, budget).map_err(|error| Fault::Replay(name.clone(), error))?;
    let is_unseen = |refuted: &Refuted| matches!(refuted.obligation, Obligation::Unseen(_));
    if proof.refuted.iter().any(is_unseen) && is_performed(library, name) {
        // It is not started by hand: whoever performs it sees to what nobody can see.
        proof.refuted.retain(|refuted| !is_unseen(refuted));
    }
    let begun = second::as_begun(library, &machine);
    let is_proved = proof.ended.is_none() && proof.refuted.is_empty();
    let asked = is_proved.then(|| second::ask(&begun, budget));
    if let Some(Err(Unclaimed::Interrupted { node, var })) = asked {
        proof.refuted.push(Refuted { obligation: Obligation::Resume { node, var }, trace: None });
    }
    let context = Context { library, procedure, equipment, machine: &machine, shape: &shape, proof: &proof };
    checked.findings.extend(judge::proved(&context));
    match asked.filter(|_| !checked.has_errors()) {
        Some(Ok((claimed, Ok(())))) => (checked.second, checked.claimed) = (Second::Agrees, Some(claimed)),
        Some(Ok((_, Err(refusal)))) => return Err(Fault::Disagreement(name.clone(), second::told(&refusal))),
        Some(Err(_)) => checked.second = Second::TooLarge,
        None => {}
    }
    drop(begun);
    checked.machine = Some(machine);
    checked.proof = Some(proof);
    Ok(checked)
}
