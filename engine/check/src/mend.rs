//! Mends: the smallest change that makes a whole procedure proved: an action of the equipment, a wait or a look put in, a step
//! moved, a way led elsewhere.

mod acted;
mod attempt;
mod changes;
mod otherwise;
mod places;
mod sequences;

use crate::rounds::way_back;
use acted::{Acted, Put};
use attempt::Attempt;
use changes::{Change, changes, move_step};
use document::model::{Equipment, Kind, Name, Procedure};
use document::{Document, Library, SourceId};
use places::{PlaceOf, insert, places};
use proof::{Budget, Obligation, Refuted};
use sequences::{Inserted, sequences, subjects};
use std::collections::BTreeMap;
use std::ops::Range;

/// How many faults one after the other a mend may take on.
const ROUNDS_MAX: usize = 4;
/// How many changes are tried for one fault.
const TRIES_MAX: usize = 4_000;

/// What is said where none was found.
pub const NO_MEND: &str = "no mend found: neither up to three steps put in for each fault, nor one moved, nor a look led \
                            elsewhere makes it proved";

/// A mend that was tried and proved.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mend {
    /// The document that changes.
    pub source: SourceId,
    /// Its text afterwards. Everything else that was there is still there, comments and layout included.
    pub text: String,
}

/// What came of looking for a mend.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Mended {
    /// This change of the procedure.
    With(Mend),
    /// Nothing is left to mend: what was wrong is mended in what it performs.
    Already,
}

/// Looks for a mend of a procedure in which something is wrong, once the `made` ones, of what it performs, are in place. `None`
/// if no small change makes the whole procedure proved.
#[must_use]
pub fn mend(library: &Library, procedure: &Name, made: &[Mend], budget: &Budget<'_>) -> Option<Mended> {
    let source = library.procedures.get(procedure)?.source;
    // Only what the procedure relies on is read again for every try.
    let relied_on = library.relies_on(procedure);
    let at = relied_on.iter().position(|id| *id == source)?;
    let text = |id: &SourceId| {
        let other = made.iter().rev().find(|mend| mend.source == *id).map(|mend| &mend.text);
        let source = &library.sources[id.0 as usize];
        (source.name.clone(), other.unwrap_or(&source.text).clone())
    };
    let files: Vec<(String, String)> = relied_on.iter().map(text).collect();
    let files = otherwise::with_ways_of_no(files, at, procedure);
    let before = files[at].1 == library.sources[source.0 as usize].text;
    let mut tried = Attempt::read(files, procedure, budget)?;
    if before && tried.errors == 0 {
        return Some(Mended::Already);
    }
    for _ in 0..ROUNDS_MAX {
        if tried.errors == 0 {
            return Some(Mended::With(Mend { source, text: tried.files.swap_remove(at).1 }));
        }
        tried = better(&tried, library, procedure, SourceId(u32::try_from(at).ok()?), budget)?;
    }
    None
}

/// What was tried for one fault.
struct Tries<'a> {
    tried: &'a Attempt,
    /// Everything that was read, also what the procedure does not rely on.
    whole: &'a Library,
    procedure: &'a Name,
    at: usize,
    budget: &'a Budget<'a>,
    count: usize,
    /// The best that leaves fewer errors, with how many steps it puts in or changes.
    fewer: Option<(usize, Attempt)>,
}

impl Tries<'_> {
    fn may_go_on(&self) -> bool {
        self.count < TRIES_MAX && (self.budget.go_on)()
    }

    /// Whether more steps than were of use already are no matter of this fault: they are put in for one of their own.
    fn has_enough(&self, length: usize) -> bool {
        self.fewer.as_ref().is_some_and(|(known, _)| *known < length)
    }

    /// Tries texts, each with one change.
    fn prove_each(&mut self, texts: Vec<String>) -> Option<Attempt> {
        texts.into_iter().find_map(|text| if self.may_go_on() { self.prove(text, 1) } else { None })
    }

    /// Tries a text. One that is found fault with is no mend; one that leaves no error is the mend.
    fn prove(&mut self, text: String, length: usize) -> Option<Attempt> {
        self.count += 1;
        let mut files = self.tried.files.clone();
        files[self.at].1 = text;
        let attempt = Attempt::read(files, self.procedure, self.budget)?;
        if attempt.warnings > self.tried.warnings {
            return None;
        }
        if attempt.errors == 0 {
            return Some(attempt);
        }
        if attempt.errors < self.fewer.as_ref().map_or(self.tried.errors, |(_, best)| best.errors) {
            self.fewer = Some((length, attempt));
        }
        None
    }
}

/// The first change that mends everything, the smallest first: a wait made longer, an answer that leads to what it passed
/// over, a wait moved, an act put in, one moved, a failed look led elsewhere, several acts put in, a look. Otherwise the first
/// that leaves fewer errors.
fn better(
    tried: &Attempt,
    whole: &Library,
    procedure: &Name,
    source: SourceId,
    budget: &Budget<'_>,
) -> Option<Attempt> {
    let document = tried.library.procedures.get(procedure)?;
    let mut tries = Tries { tried, whole, procedure, at: source.0 as usize, budget, count: 0, fewer: None };
    let mended = match tried.proof.refuted.iter().find(|refuted| is_mendable(refuted)) {
        Some(refuted) => of_fault(&mut tries, document, source, refuted),
        None => of_graph(&mut tries, document, source),
    };
    mended.or_else(|| tries.fewer.map(|(_, attempt)| attempt))
}

fn of_fault(
    tries: &mut Tries<'_>,
    document: &Document<Procedure>,
    source: SourceId,
    refuted: &Refuted,
) -> Option<Attempt> {
    let tried = tries.tried;
    let equipment = &tried.library.equipment.get(&document.model.equipment)?.model;
    let subjects = subjects(&tried.machine, refuted);
    let text = &tried.files[tries.at].1;
    let runs = Runs::new(tried, equipment, refuted);
    let Texts { small, later } =
        texts_of(changes(tried, document, source, refuted, &subjects), text, document, &runs);
    if let Some(whole) = tries.prove_each(small) {
        return Some(whole);
    }
    let places = places(tried, document, source, refuted);
    let mut later = Some(later);
    for sequence in sequences(&tried.machine, equipment, refuted, &subjects) {
        // A single act is tried before a step is moved or a look led elsewhere, and that before anything longer.
        if (sequence.len() > 1 || matches!(sequence[..], [Inserted::Confirm(_)]))
            && let Some(whole) = later.take().and_then(|later| tries.prove_each(later))
        {
            return Some(whole);
        }
        if tries.has_enough(sequence.len()) {
            break;
        }
        let put = Put::Steps(&sequence);
        for place in &places {
            if !tries.may_go_on() {
                return None;
            }
            let before = place.before.as_deref();
            if !runs.own_ends(&put, before) || tries.fewer.is_some() && !runs.all_end(&put, before) {
                continue;
            }
            let text = insert(text, place, &sequence, tried, tries.whole, &document.model);
            if let Some(whole) = tries.prove(text, sequence.len()) {
                return Some(whole);
            }
        }
    }
    later.and_then(|later| tries.prove_each(later))
}

/// The runs to everything that can be mended.
struct Runs<'a> {
    all: Vec<Acted<'a>>,
    /// Whether the first is that of the fault itself.
    own: bool,
}

impl<'a> Runs<'a> {
    fn new(tried: &'a Attempt, equipment: &'a Equipment, refuted: &Refuted) -> Self {
        let mendable = tried.proof.refuted.iter().filter(|refuted| is_mendable(refuted));
        let traces = mendable.filter_map(|refuted| refuted.trace.as_ref());
        let all = traces.map(|trace| Acted::new(&tried.machine, equipment, trace)).collect();
        Self { all, own: refuted.trace.is_some() }
    }

    fn own_ends(&self, put: &Put<'_>, before: Option<&str>) -> bool {
        !self.own || self.all.first().is_none_or(|run| run.ends(put, before))
    }

    fn all_end(&self, put: &Put<'_>, before: Option<&str>) -> bool {
        self.all.iter().all(|run| run.ends(put, before))
    }
}

/// Texts with one change.
struct Texts {
    /// Tried first.
    small: Vec<String>,
    /// Tried once no act put in helps: that changes less than a step that stands elsewhere than its author meant.
    later: Vec<String>,
}

fn texts_of(all: Vec<Change>, text: &str, document: &Document<Procedure>, runs: &Runs<'_>) -> Texts {
    let (mut small, mut ways) = (Vec::new(), Vec::new());
    // Of the places of one step the nearest that serves every fault, or else this one.
    let mut moved: BTreeMap<String, (bool, PlaceOf)> = BTreeMap::new();
    for change in all {
        match change {
            Change::Moved(step, place) => {
                let (put, before) = (Put::Step(&step), place.before.as_deref());
                let known = moved.get(&step).map(|(whole, _)| *whole);
                if known != Some(true) && runs.own_ends(&put, before) {
                    let whole = runs.all_end(&put, before);
                    if known.is_none() || whole {
                        moved.insert(step, (whole, place));
                    }
                }
            }
            Change::Longer(at, new) | Change::LedBack(at, new) => small.push(replaced(text, at, &new)),
            Change::Led(at, new) => ways.push(replaced(text, at, &new)),
        }
    }
    let mut later = Vec::new();
    for (step, (_, place)) in &moved {
        let waits = document.model.step_at(step).is_some_and(|step| matches!(step.kind, Kind::Wait(_)));
        let texts = if waits { &mut small } else { &mut later };
        texts.extend(move_step(text, document, step, place));
    }
    later.append(&mut ways);
    Texts { small, later }
}

fn replaced(text: &str, at: Range<usize>, new: &str) -> String {
    [&text[..at.start], new, &text[at.end..]].concat()
}

/// What the graph alone is to be mended by: a way back becomes a repeat.
fn of_graph(tries: &mut Tries<'_>, document: &Document<Procedure>, source: SourceId) -> Option<Attempt> {
    let (tried, text) = (tries.tried, &tries.tried.files[tries.at].1);
    let shape = proof::shape(&tried.machine);
    for inside in &shape.loops {
        let back = way_back(&tried.library, &tried.machine, &shape, inside);
        let Some((lines, repeat)) = back.filter(|_| document.source == source).and_then(|back| back.repeat())
        else {
            continue;
        };
        if let Some(whole) = tries.prove(replaced(text, lines, &repeat), 1) {
            return Some(whole);
        }
    }
    None
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
