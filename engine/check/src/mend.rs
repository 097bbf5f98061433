//! Mends: the shortest insertion of the equipment's actions, or of a wait, that makes a whole procedure proved.

mod sequences;

use crate::findings::check_one;
use calc::quantity::Duration;
use document::model::{Name, Procedure, Step};
use document::{Document, InputFile, Library, Severity, SourceId};
use machine::{Machine, NodeId};
use proof::{Budget, Obligation, Proof, Refuted};
use sequences::{Inserted, sequences};

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

/// The documents with some insertions, and what is proved of them.
struct Attempt {
    /// Names and texts.
    files: Vec<(String, String)>,
    library: Library,
    machine: Machine,
    proof: Proof,
    errors: usize,
}

impl Attempt {
    fn read(files: Vec<(String, String)>, procedure: &Name, budget: &Budget<'_>) -> Option<Self> {
        let input: Vec<InputFile> = files
            .iter()
            .map(|(name, text)| InputFile { name: name.clone(), bytes: text.clone().into_bytes() })
            .collect();
        let reading = document::read(&input);
        let checked = check_one(&reading.library, &reading.findings, procedure, budget).ok()?;
        let errors = checked.findings.iter().filter(|finding| finding.severity == Severity::Error).count();
        Some(Self {
            files,
            library: reading.library,
            machine: checked.machine?,
            proof: checked.proof?,
            errors,
        })
    }
}

/// The first insertion, shortest and nearest to the fault first, that mends everything; otherwise the first that leaves
/// fewer errors.
fn better(tried: &Attempt, procedure: &Name, source: SourceId, budget: &Budget<'_>) -> Option<Attempt> {
    let document = tried.library.procedures.get(procedure)?;
    let equipment = &tried.library.equipment.get(&document.model.equipment)?.model;
    let refuted = tried.proof.refuted.iter().find(|refuted| is_mendable(refuted))?;
    let places = places(tried, document, source, refuted);
    let mut fewer: Option<Attempt> = None;
    let mut tries = 0;
    for sequence in sequences(&tried.machine, equipment, refuted) {
        for &at in &places {
            tries += 1;
            if tries > TRIES_MAX || !(budget.go_on)() {
                return fewer;
            }
            let mut files = tried.files.clone();
            let text = &mut files[source.0 as usize].1;
            *text = insert(text, at, &sequence, &document.model);
            let Some(attempt) = Attempt::read(files, procedure, budget) else { continue };
            if attempt.errors == 0 {
                return Some(attempt);
            }
            if attempt.errors < fewer.as_ref().map_or(tried.errors, |best| best.errors) {
                fewer = Some(attempt);
            }
        }
    }
    fewer
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

/// Byte offsets at which a step can be put in, nearest to the fault first: before each step of the run that leads to it,
/// backwards, and at the end for a promise.
fn places(
    tried: &Attempt,
    document: &Document<Procedure>,
    source: SourceId,
    refuted: &Refuted,
) -> Vec<usize> {
    let machine = &tried.machine;
    let text = &tried.files[source.0 as usize].1;
    let mut nodes: Vec<NodeId> =
        refuted.trace.iter().flat_map(|trace| &trace.moves).map(|step| step.place.node).collect();
    let mut offsets = Vec::new();
    match refuted.obligation {
        Obligation::Need { node, .. } => nodes.push(node),
        Obligation::Promise(_) => offsets.push(end_of_steps(text)),
        Obligation::Rule { .. }
        | Obligation::Unmended(_)
        | Obligation::Unseen(_)
        | Obligation::Answered(_)
        | Obligation::Stop(_)
        | Obligation::StopAfter(_)
        | Obligation::Universal
        | Obligation::Resume { .. } => {}
    }
    for node in nodes.into_iter().rev().map(|id| machine.node(id)).filter(|node| node.source == source) {
        // An item of an any-order block has no before: what is put beside it may be done after it.
        if node.pointer.contains("/any_order/") {
            continue;
        }
        let start = document.place(&node.pointer).span.start;
        offsets.extend(item_start(text, start));
    }
    let mut seen = std::collections::BTreeSet::new();
    offsets.retain(|offset| seen.insert(*offset));
    offsets
}

/// The start of the line on which a list item begins, above comments that belong to it. `None` if the item does not
/// begin its line.
fn item_start(text: &str, first_key: usize) -> Option<usize> {
    let line_start = |offset: usize| text[..offset].rfind('\n').map_or(0, |at| at + 1);
    let mut start = line_start(first_key);
    let line = &text[start..];
    if !line.trim_start_matches(' ').starts_with("- ") {
        return None;
    }
    let indent = line.len() - line.trim_start_matches(' ').len();
    while start > 0 {
        let before = line_start(start - 1);
        let comment = &text[before..start];
        let deep = comment.len() - comment.trim_start_matches(' ').len();
        if deep != indent || !comment.trim_start().starts_with('#') {
            break;
        }
        start = before;
    }
    Some(start)
}

fn end_of_steps(text: &str) -> usize {
    // `steps` is the last key in every document that is laid out as the schema lists it; elsewhere the proof refuses.
    text.len()
}

/// The text with the steps put in, in the layout of the list around them.
fn insert(text: &str, at: usize, sequence: &[Inserted], procedure: &Procedure) -> String {
    let beside = if at < text.len() { &text[at..] } else { last_item(text) };
    let indent = " ".repeat(beside.len() - beside.trim_start_matches(' ').len());
    let mut taken: Vec<String> = Vec::new();
    ids(&procedure.steps, &mut taken);
    let mut lines = String::new();
    if at == text.len() && !text.ends_with('\n') {
        lines.push('\n');
    }
    for inserted in sequence {
        let (base, body) = match inserted {
            Inserted::Action(name) => (name.to_string(), format!("action: {name}")),
            Inserted::Wait(millis) => {
                let time = Duration::from_millis(*millis).to_quantity().map(|time| time.to_string());
                ("wait".to_owned(), format!("wait: {{ for: {} }}", time.unwrap_or_default()))
            }
        };
        let id = free(&base, &taken);
        lines.push_str(&format!("{indent}- id: {id}\n{indent}  {body}\n"));
        taken.push(id);
    }
    format!("{}{lines}{}", &text[..at], &text[at..])
}

/// The last line that begins an item of the outermost list of steps.
fn last_item(text: &str) -> &str {
    let steps = text.find("\nsteps:").map_or(text, |at| &text[at + 1..]);
    let items = steps.lines().filter(|line| line.trim_start_matches(' ').starts_with("- "));
    items.min_by_key(|line| line.len() - line.trim_start_matches(' ').len()).unwrap_or_default()
}

fn ids(steps: &[Step], taken: &mut Vec<String>) {
    for step in steps {
        taken.push(step.common.id.to_string());
        if let Some((_, inner)) = step.inner() {
            ids(inner, taken);
        }
    }
}

fn free(base: &str, taken: &[String]) -> String {
    let mut name = base.to_owned();
    let mut number = 2;
    while taken.contains(&name) {
        name = format!("{base}-{number}");
        number += 1;
    }
    name
}
