//! Where a step can be put in, and what that changes in the text.

use super::attempt::Attempt;
use super::sequences::Inserted;
use crate::lines::item_start;
use crate::words::{values_of, values_words};
use crate::written::in_machine;
use calc::quantity::Duration;
use document::model::{Name, Procedure, Step};
use document::{Document, Library, SourceId, Span, pointer};
use machine::{Choice, Machine, Move, Node, NodeId};
use proof::{Obligation, Refuted};
use std::collections::BTreeSet;

/// A place in the text before a step of the run, or at the end.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct PlaceOf {
    /// Where the line of the step begins.
    pub(super) at: usize,
    /// The step's pointer; none at the end.
    pub(super) before: Option<String>,
    /// The word by which a step before leads to it, if one does by name: it then leads to what is put in.
    pub(super) jump: Option<(usize, usize)>,
}

/// The places, nearest to the fault first: before each step of the run that leads to it, backwards, and at the end for a
/// promise.
pub(super) fn places(
    tried: &Attempt,
    document: &Document<Procedure>,
    source: SourceId,
    refuted: &Refuted,
) -> Vec<PlaceOf> {
    let machine = &tried.machine;
    let text = &tried.files[source.0 as usize].1;
    let moves: &[Move] = refuted.trace.as_ref().map_or(&[], |trace| &trace.moves);
    let mut nodes: Vec<NodeId> = moves.iter().map(|step| step.place.node).collect();
    let mut places = Vec::new();
    match refuted.obligation {
        Obligation::Need { node, .. } => nodes.push(node),
        Obligation::Promise(_) => {
            // `steps` is the last key in every document that is laid out as the schema lists it; elsewhere the proof refuses.
            places.push(PlaceOf { at: text.len(), before: None, jump: None });
        }
        Obligation::Rule { .. }
        | Obligation::Unmended(_)
        | Obligation::Unseen(_)
        | Obligation::Answered(_)
        | Obligation::Stop(_)
        | Obligation::StopAfter(_)
        | Obligation::Universal
        | Obligation::Resume { .. } => {}
    }
    for (at, &id) in nodes.iter().enumerate().rev() {
        let node = machine.node(id);
        // An item of an any-order block has no before: what is put beside it may be done after it.
        if node.source != source || node.pointer.contains("/any_order/") {
            continue;
        }
        let start = document.place(&node.pointer).span.start;
        let Some(start) = item_start(text, start) else { continue };
        let before = Some(node.pointer.clone());
        let jump = at.checked_sub(1).and_then(|at| moves.get(at));
        let jump = jump.and_then(|step| jump_of(machine, document, step, node));
        let jump = jump.filter(|span| text.get(span.start..span.end) == step_id(document, node));
        if let Some(span) = jump {
            places.push(PlaceOf { at: start, before: before.clone(), jump: Some((span.start, span.end)) });
        }
        places.push(PlaceOf { at: start, before, jump: None });
    }
    let mut seen = BTreeSet::new();
    places.retain(|place| seen.insert(place.clone()));
    places
}

fn step_id<'a>(document: &'a Document<Procedure>, node: &Node) -> Option<&'a str> {
    document.model.step_at(&node.pointer).map(|step| &*step.common.id)
}

/// Where the step that was left leads to the other one by name.
pub(super) fn jump_of(
    machine: &Machine,
    document: &Document<Procedure>,
    left: &Move,
    to: &Node,
) -> Option<Span> {
    let node = machine.node(left.place.node);
    let step = document.model.step_at(&node.pointer).filter(|_| node.source == to.source)?;
    let key = match node.outcomes.get(left.outcome)?.choice {
        Choice::Fail | Choice::Is(_) | Choice::CannotTell => "otherwise".to_owned(),
        Choice::Answer(answer) => {
            let (word, _) = step.kind.answers().nth(answer as usize)?;
            let answer = pointer("answers", word);
            let whole = document.place(&format!("{}/{answer}/then", node.pointer)).span;
            let alone = document.place(&format!("{}/{answer}", node.pointer)).span;
            return Some(if whole == alone { alone } else { whole });
        }
        Choice::Done
        | Choice::Pass
        | Choice::Item(_)
        | Choice::AllItems
        | Choice::Applies
        | Choice::PassedOver => "then".to_owned(),
    };
    Some(document.place(&format!("{}/{key}", node.pointer)).span)
}

/// The text with the steps put in, in the layout of the list around them.
pub(super) fn insert(
    text: &str,
    place: &PlaceOf,
    sequence: &[Inserted],
    tried: &Attempt,
    library: &Library,
    procedure: &Procedure,
) -> String {
    let layout = &tried.machine.layout;
    let at = place.at;
    let beside = if at < text.len() { &text[at..] } else { last_item(text) };
    let indent = " ".repeat(beside.len() - beside.trim_start_matches(' ').len());
    let mut taken: Vec<String> = Vec::new();
    ids(&procedure.steps, &mut taken);
    let (mut lines, mut first) = (String::new(), None);
    if at == text.len() && !text.ends_with('\n') {
        lines.push('\n');
    }
    for inserted in sequence {
        let (base, body) = match inserted {
            Inserted::Action(name) => {
                let expect = expected(library, procedure, name).map(str::to_owned);
                let expect = expect.or_else(|| seen_after(&tried.machine, library, procedure, name));
                let expect = expect.map_or_else(String::new, |text| format!("\n{indent}  expect: {text}"));
                (name.to_string(), format!("action: {name}{expect}"))
            }
            Inserted::Wait(millis) => {
                let time = Duration::from_millis(*millis).to_quantity().map(|time| time.to_string());
                ("wait".to_owned(), format!("wait: {{ for: {} }}", time.unwrap_or_default()))
            }
            Inserted::Confirm(seen) => {
                let name = &layout.var(seen.var).name;
                let values = values_of(layout, *seen);
                let asked = format!("confirm: {{ {name}: {values} }}\n{indent}  otherwise: stop");
                (format!("confirm-{name}"), asked)
            }
        };
        let id = free(&base, &taken);
        lines.push_str(&format!("{indent}- id: {id}\n{indent}  {body}\n"));
        first.get_or_insert_with(|| id.clone());
        taken.push(id);
    }
    let mut text = text.to_owned();
    let jump = place.jump.zip(first);
    // From the back, so that no place moves.
    if let Some(((start, end), first)) = jump.as_ref().filter(|((start, _), _)| *start >= at) {
        text.replace_range(*start..*end, first);
    }
    text.insert_str(at, &lines);
    if let Some(((start, end), first)) = jump.as_ref().filter(|((start, _), _)| *start < at) {
        text.replace_range(*start..*end, first);
    }
    text
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

/// What is expected of an action where it stands already, in this procedure first, if that can be written in one plain line.
fn expected<'a>(library: &'a Library, procedure: &'a Procedure, action: &Name) -> Option<&'a str> {
    fn find<'a>(steps: &'a [Step], action: &Name) -> Option<&'a str> {
        steps.iter().find_map(|step| {
            let own = step.common.expect.as_deref().filter(|_| step.kind.action() == Some(action));
            own.or_else(|| step.inner().and_then(|(_, inner)| find(inner, action)))
        })
    }
    let others = library.procedures.values().map(|document| &document.model);
    let found = std::iter::once(procedure).chain(others).find_map(|one| find(&one.steps, action));
    let plain = |letter: char| letter.is_alphanumeric() || " .,'()/%-".contains(letter);
    found.filter(|text| text.starts_with(char::is_alphabetic) && text.chars().all(plain))
}

/// What can be seen after an action of which nobody has written what is expected: the first condition that it leaves.
fn seen_after(machine: &Machine, library: &Library, procedure: &Procedure, action: &Name) -> Option<String> {
    let equipment = &library.equipment.get(&procedure.equipment)?.model;
    let left = in_machine(&machine.layout, &equipment.actions.get(action)?.leaves)?;
    let seen = left.0.into_iter().find(|made| machine.sight(made.var).is_asked)?;
    let label = &machine.layout.var(seen.var).label;
    let (first, rest) = label.split_at(label.chars().next()?.len_utf8());
    let values = values_words(&machine.layout, seen.var, seen.set);
    Some(format!("\"{}{rest}: {values}.\"", first.to_uppercase()))
}
