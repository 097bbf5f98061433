//! What can be mended without a new step: a step moved, a way led elsewhere, a wait made longer.

use super::attempt::Attempt;
use super::places::{PlaceOf, jump_of, places};
use crate::lines::item;
use calc::quantity::Duration;
use document::model::{Figure, Kind, Name, Procedure, Step, Target};
use document::{Document, SourceId};
use machine::{Choice, Effect, Machine, Move, NodeKind, VarId};
use proof::Refuted;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

/// A change of the text.
pub(super) enum Change {
    /// The step at a pointer stands at another place.
    Moved(String, PlaceOf),
    /// A wait takes another time.
    Longer(Range<usize>, String),
    /// A way that led past a step leads to it.
    LedBack(Range<usize>, String),
    /// A failed look leads to another step.
    Led(Range<usize>, String),
}

/// The changes that may end a fault about these variables, those that change least first.
pub(super) fn changes(
    tried: &Attempt,
    document: &Document<Procedure>,
    source: SourceId,
    refuted: &Refuted,
    subjects: &BTreeSet<VarId>,
) -> Vec<Change> {
    let text = &tried.files[source.0 as usize].1;
    let moves: &[Move] = refuted.trace.as_ref().map_or(&[], |trace| &trace.moves);
    let own: Vec<&Move> =
        moves.iter().filter(|step| tried.machine.node(step.place.node).source == source).collect();
    let mut changes = longer(&tried.machine, document, text, &own, subjects);
    changes.extend(moved(tried, document, source, refuted, subjects));
    changes.extend(led_elsewhere(&tried.machine, document, text, &own, subjects));
    changes
}

/// Waits of the run that are too short for what settles.
fn longer(
    machine: &Machine,
    document: &Document<Procedure>,
    text: &str,
    moves: &[&Move],
    subjects: &BTreeSet<VarId>,
) -> Vec<Change> {
    let settling = || machine.settling.iter().filter(|settling| subjects.contains(&settling.var));
    let waits = moves.iter().rev().filter_map(|step| {
        let pointer = &machine.node(step.place.node).pointer;
        let Kind::Wait(wait) = &document.model.step_at(pointer)?.kind else { return None };
        let time = Duration::from_quantity(wait.time.as_ref().and_then(Figure::plain)?).ok()?;
        let needed = settling().map(|settling| settling.after).find(|after| *after > time.as_millis())?;
        let span = document.places.value(&format!("{pointer}/wait/for"))?;
        let figure = Duration::from_millis(needed).to_quantity().ok()?.to_string();
        one_line(text, span.start..span.end).map(|at| Change::Longer(at, figure))
    });
    waits.collect()
}

fn one_line(text: &str, at: Range<usize>) -> Option<Range<usize>> {
    text.get(at.clone()).is_some_and(|old| !old.contains('\n')).then_some(at)
}

/// Steps that change what the fault is about, before another step of the run, those that move least first.
fn moved(
    tried: &Attempt,
    document: &Document<Procedure>,
    source: SourceId,
    refuted: &Refuted,
    subjects: &BTreeSet<VarId>,
) -> Vec<Change> {
    let machine = &tried.machine;
    let mut steps: BTreeMap<usize, bool> = BTreeMap::new();
    for node in machine.nodes.iter().filter(|node| node.source == source && node.rounds.is_empty()) {
        let Some((list, index)) = top_level(&node.pointer) else { continue };
        let step = document.model.step_at(&format!("{list}/{index}"));
        let stays = step.is_none_or(|step| step.common.then.is_some());
        if stays || node.pointer != format!("{list}/{index}") || !touches(machine, node, subjects) {
            continue;
        }
        match node.kind {
            NodeKind::Act | NodeKind::InAct { .. } | NodeKind::Tick(_) | NodeKind::Wait => {
                steps.insert(index, node.kind == NodeKind::Wait);
            }
            NodeKind::End
            | NodeKind::Route
            | NodeKind::Enter
            | NodeKind::Follows { .. }
            | NodeKind::Measure { .. }
            | NodeKind::Ask
            | NodeKind::Hold
            | NodeKind::Verify { .. }
            | NodeKind::AnyOrder { .. } => {}
        }
    }
    let mut all: Vec<(usize, Change)> = Vec::new();
    for place in places(tried, document, source, refuted) {
        let to = place.before.as_deref().map_or(Some(document.model.steps.len()), |before| {
            top_level(before)
                .filter(|(list, index)| format!("{list}/{index}") == before)
                .map(|(_, index)| index)
        });
        let Some(to) = to else { continue };
        // A wait that comes later has a purpose there.
        let may = |from: usize, waits: bool| from != to && from + 1 != to && (!waits || from < to);
        for (&from, _) in steps.iter().filter(|&(&from, &waits)| may(from, waits)) {
            all.push((from.abs_diff(to), Change::Moved(format!("/steps/{from}"), place.clone())));
        }
    }
    all.sort_by_key(|(distance, _)| *distance);
    all.into_iter().map(|(_, change)| change).collect()
}

/// The list and the index of a step of the procedure itself, not of one inside another.
fn top_level(pointer: &str) -> Option<(&'static str, usize)> {
    let (index, _) =
        pointer.strip_prefix("/steps/").map(|rest| rest.split_once('/').unwrap_or((rest, "")))?;
    Some(("/steps", index.parse().ok()?))
}

/// Whether a step changes or looks at any of these, or waits exactly as long as one of them takes.
fn touches(machine: &Machine, node: &machine::Node, subjects: &BTreeSet<VarId>) -> bool {
    let settles =
        |millis: u64| machine.settling.iter().any(|one| subjects.contains(&one.var) && one.after == millis);
    node.outcomes.iter().any(|outcome| {
        outcome.waits.iter().any(|(_, millis)| settles(*millis))
            || outcome.effects.iter().any(|effect| match effect {
                Effect::Write(set) | Effect::Look(set) | Effect::Find(set) => subjects.contains(&set.var),
                Effect::Open(_) | Effect::Lose(_) | Effect::Verify(_) => false,
            })
    })
}

/// The text with a step moved.
pub(super) fn move_step(
    text: &str,
    document: &Document<Procedure>,
    step: &str,
    place: &PlaceOf,
) -> Option<String> {
    let lines = item(text, document.place(&format!("{step}/id")).span.start)?;
    if lines.contains(&place.at) {
        return None;
    }
    let mut block = text[lines.clone()].to_owned();
    if !block.ends_with('\n') {
        block.push('\n');
    }
    let id = document.model.step_at(step)?.common.id.to_string();
    // From the back, so that no place moves.
    let mut edits = vec![(lines, String::new()), (place.at..place.at, block)];
    edits.extend(place.jump.map(|(start, end)| (start..end, id)));
    edits.sort_by_key(|(at, _)| std::cmp::Reverse((at.start, at.end)));
    let mut text = text.to_owned();
    for (at, new) in edits {
        text.replace_range(at, &new);
    }
    Some(text)
}

/// Ways of the run that lead on where they should not: from a look that failed to where other looks lead, or to a stop;
/// from an answer, or past steps by name, to a step passed over that has to do with the fault.
fn led_elsewhere(
    machine: &Machine,
    document: &Document<Procedure>,
    text: &str,
    moves: &[&Move],
    subjects: &BTreeSet<VarId>,
) -> Vec<Change> {
    let makes = |at: usize| {
        let pointer = format!("/steps/{at}");
        let nodes =
            machine.nodes.iter().filter(|node| node.pointer == pointer && node.source == document.source);
        nodes.into_iter().any(|node| touches(machine, node, subjects))
    };
    let mut changes = Vec::new();
    for pair in (0..moves.len()).rev() {
        let step = moves[pair];
        let left = machine.node(step.place.node);
        let Some(outcome) = left.outcomes.get(step.outcome) else { continue };
        let Some((_, index)) = top_level(&left.pointer) else { continue };
        let span = jump_of(machine, document, step, machine.node(outcome.to.node));
        let Some(at) = span.and_then(|span| one_line(text, span.start..span.end)) else { continue };
        let failed = matches!(outcome.choice, Choice::Fail | Choice::Is(_) | Choice::CannotTell);
        let steps = &document.model.steps;
        let named = |at: &Range<usize>| {
            let old = &text[at.clone()];
            let ends = (old == "done").then_some(steps.len());
            let target = steps.iter().position(|step| *step.common.id == *old).or(ends);
            target.map(|target| (old, target))
        };
        let Some((old, target)) = named(&at) else { continue };
        let mut targets: Vec<&str> = Vec::new();
        if failed {
            targets.extend(ways_of_no(steps, index));
            targets.push("stop");
        } else {
            // What is passed over, up to what has to do with the fault, the last of it first.
            let last = (index + 1..target).rev().find(|&at| makes(at));
            let passed = last.into_iter().flat_map(|last| (index + 1..=last).rev());
            targets.extend(passed.filter_map(|at| steps.get(at)).map(|step| &*step.common.id));
        }
        let mut seen = BTreeSet::new();
        targets.retain(|new| *new != old && seen.insert(*new));
        let led = |new: &str| {
            if failed {
                Change::Led(at.clone(), new.to_owned())
            } else {
                Change::LedBack(at.clone(), new.to_owned())
            }
        };
        changes.extend(targets.into_iter().map(led));
    }
    changes
}

/// Where the looks of these steps lead when they fail, as far as that is further down than a step: those of the nearest first.
pub(super) fn ways_of_no(steps: &[Step], from: usize) -> Vec<&str> {
    let position = |name: &Name| steps.iter().position(|step| step.common.id == *name);
    let mut found: Vec<(usize, &str)> = Vec::new();
    for (at, step) in steps.iter().enumerate() {
        let Some(Target(target)) = &step.common.otherwise else { continue };
        if &**target == "stop" || position(target).is_some_and(|target| target > from) {
            found.push((at.abs_diff(from), target));
        }
    }
    found.sort_by_key(|(distance, _)| *distance);
    found.into_iter().map(|(_, target)| target).collect()
}
