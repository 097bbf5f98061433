//! Mends: the shortest insertion of the equipment's actions, or of a wait, that makes a whole procedure proved.

mod acted;
mod attempt;
mod places;
mod sequences;

use acted::Acted;
use attempt::Attempt;
use document::model::Name;
use document::{Library, SourceId};
use places::{insert, places};
use proof::{Budget, Obligation, Refuted};
use sequences::sequences;

/// How many faults one after the other a mend may take on.
const ROUNDS_MAX: usize = 4;
/// How many insertions are tried for one fault.
const TRIES_MAX: usize = 4_000;

/// What is said where none was found.
pub const NO_MEND: &str = "no insertion of up to three steps for each fault makes it proved";

/// A mend that was tried and proved.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mend {
    /// The document that changes.
    pub source: SourceId,
    /// Its text afterwards. Everything that was there is still there, comments and layout included.
    pub text: String,
}

/// Looks for a mend of a procedure whose obligations are refuted. `None` if no insertion of up to three steps a
/// fault makes the whole procedure proved.
#[must_use]
pub fn mend(library: &Library, procedure: &Name, budget: &Budget<'_>) -> Option<Mend> {
    let source = library.procedures.get(procedure)?.source;
    // Only what the procedure relies on is read again for every try.
    let relied_on = library.relies_on(procedure);
    let at = relied_on.iter().position(|id| *id == source)?;
    let of = |id: &SourceId| &library.sources[id.0 as usize];
    let files: Vec<(String, String)> =
        relied_on.iter().map(of).map(|source| (source.name.clone(), source.text.clone())).collect();
    let mut tried = Attempt::read(files, procedure, budget)?;
    for _ in 0..ROUNDS_MAX {
        if tried.errors == 0 {
            return Some(Mend { source, text: tried.files.swap_remove(at).1 });
        }
        tried = better(&tried, procedure, SourceId(u32::try_from(at).ok()?), budget)?;
    }
    None
}

/// The first insertion, shortest and nearest to the fault first, that mends everything; otherwise the first that leaves
/// fewer errors.
fn better(tried: &Attempt, procedure: &Name, source: SourceId, budget: &Budget<'_>) -> Option<Attempt> {
    let document = tried.library.procedures.get(procedure)?;
    let equipment = &tried.library.equipment.get(&document.model.equipment)?.model;
    let refuted = tried.proof.refuted.iter().find(|refuted| is_mendable(refuted))?;
    let places = places(tried, document, source, refuted);
    let mendable = tried.proof.refuted.iter().filter(|refuted| is_mendable(refuted));
    let traces = mendable.filter_map(|refuted| refuted.trace.as_ref());
    let runs: Vec<Acted<'_>> = traces.map(|trace| Acted::new(&tried.machine, equipment, trace)).collect();
    let own = refuted.trace.as_ref().and(runs.first());
    let mut fewer: Option<(usize, Attempt)> = None;
    let mut tries = 0;
    for sequence in sequences(&tried.machine, equipment, refuted) {
        // More steps than were of use already are put in for a fault of their own.
        if fewer.as_ref().is_some_and(|(length, _)| *length < sequence.len()) {
            break;
        }
        for place in &places {
            if tries > TRIES_MAX || !(budget.go_on)() {
                return fewer.map(|(_, attempt)| attempt);
            }
            let ends = |run: &Acted<'_>| run.ends(&sequence, place.before.as_deref());
            if !own.is_none_or(ends) || fewer.is_some() && !runs.iter().all(ends) {
                continue;
            }
            tries += 1;
            let mut files = tried.files.clone();
            let text = &mut files[source.0 as usize].1;
            *text = insert(text, place, &sequence, tried, &document.model);
            let attempt = Attempt::read(files, procedure, budget);
            // A mend that is found fault with is none.
            let Some(attempt) = attempt.filter(|attempt| attempt.warnings <= tried.warnings) else {
                continue;
            };
            if attempt.errors == 0 {
                return Some(attempt);
            }
            if attempt.errors < fewer.as_ref().map_or(tried.errors, |(_, best)| best.errors) {
                fewer = Some((sequence.len(), attempt));
            }
        }
    }
    fewer.map(|(_, attempt)| attempt)
}

fn is_mendable(refuted: &Refuted) -> bool {
    match refuted.obligation {
        Obligation::Need { .. }
        | Obligation::Rule { by: Some(_), .. }
        | Obligation::Unmended(_)
        | Obligation::Promise(_) => true,
        // What may be so at the start, questions, and what the equipment offers are no matter of a step put in.
        Obligation::Rule { by: None, .. }
        | Obligation::Unseen(_)
        | Obligation::Answered(_)
        | Obligation::Stop(_)
        | Obligation::StopAfter(_)
        | Obligation::Universal
        | Obligation::Resume { .. } => false,
    }
}
