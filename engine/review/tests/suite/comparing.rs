//! What changed for safety: every single change with its class, and no safety change where nothing changed.

use super::pairs::{Pair, pairs};
use crate::harmless::edits;
use crate::support::demo;
use check::Checked;
use document::{InputFile, Library, Place};
use review::{Change, Class, Comparison, Side};
use std::collections::BTreeSet;
use std::ops::Range;

/// A procedure with its equipment, checked.
pub(super) fn revision(procedure: &str, equipment: &str) -> (Library, Vec<Checked>) {
    let file = |name: &str, text: &str| InputFile { name: name.to_owned(), bytes: text.as_bytes().to_vec() };
    let reading = document::read(&[file("equipment.yaml", equipment), file("procedure.yaml", procedure)]);
    let budget = check::Budget { boxes: 200_000, go_on: &|| true };
    let report = check::check(reading, &budget).expect("no fault of ours");
    (report.library, report.procedures)
}

pub(super) fn compared(old: &(Library, Vec<Checked>), new: &(Library, Vec<Checked>)) -> Comparison {
    fn side(of: &(Library, Vec<Checked>)) -> Side<'_> {
        let checked = of.1.first().expect("a procedure");
        Side::find(&of.0, &checked.procedure, Some(checked)).expect("a procedure with its equipment")
    }
    let budget = check::Budget { boxes: 200_000, go_on: &|| true };
    review::compare(&side(old), &side(new), &budget)
}

#[test]
fn every_pair_is_told_with_its_class() {
    let all = pairs();
    assert!(all.len() >= 40, "{}", all.len());
    let equipment = demo::text("equipment");
    for Pair { procedure, file, edit, what, class, whole } in all {
        let (own, of_machine) = (demo::text(procedure), file == "equipment");
        let changed = edit.apply(if of_machine { &equipment } else { &own });
        let old = revision(&own, &equipment);
        let new = if of_machine { revision(&own, &changed) } else { revision(&changed, &equipment) };
        let comparison = compared(&old, &new);
        let told: Vec<String> = comparison
            .changes
            .iter()
            .map(|change| format!("{} {}: {}", change.class.word(), change.what.words(), change.message))
            .collect();
        if what == "no difference" {
            assert_eq!(told, Vec::<String>::new(), "{procedure}");
            continue;
        }
        let found: Vec<&Change> = comparison
            .changes
            .iter()
            .filter(|change| change.what.words() == what && change.class == class)
            .collect();
        assert!(!found.is_empty(), "{procedure}: no {} {what} in\n{}", class.word(), told.join("\n"));
        // It is told where the texts differ; a gate that is passed by at the steps behind it, a wait by an
        // amount of the equipment at the wait, a state nowhere.
        let texts = if of_machine { (equipment.as_str(), changed.as_str()) } else { (&*own, &*changed) };
        let (before, now) = (differing(texts.0, texts.1), differing(texts.1, texts.0));
        let there = |change: &&Change| {
            let at = |of: &(Library, Vec<Checked>), place: &Option<Place>, lines: &Range<usize>| {
                place.is_some_and(|place| {
                    let source = &of.0.sources[place.source.0 as usize];
                    lines.contains(&source.position(place.span.start).line)
                })
            };
            at(&old, &change.old, &before) || at(&new, &change.new, &now)
        };
        let elsewhere =
            what.starts_with("state ") || what == "gate bypassed" || of_machine && what.starts_with("wait ");
        let placed = elsewhere || found.iter().any(there);
        let places: Vec<_> = found.iter().map(|change| (change.old, change.new)).collect();
        assert!(placed, "{procedure}: {what} is told at {places:?}, not in {before:?}, {now:?}");
        assert_eq!(comparison.class(), whole, "{procedure}: {what}: {}", told.join("\n"));
        for change in &comparison.changes {
            let placed =
                change.old.is_some() || change.new.is_some() || change.what.words().starts_with("state ");
            assert!(placed, "{what}: `{}` stands nowhere", change.message);
        }
        // The other way round nothing is missed either, and what was lost is won.
        let back = compared(&new, &old);
        let opposite = match whole {
            Class::Strengthened => Class::Weakened,
            Class::Weakened => Class::Strengthened,
            Class::Neutral => Class::Neutral,
        };
        // A step that is new says little, and evidence that ends sooner can be had in more states.
        if !["step added", "step removed", "evidence changed"].contains(&what) {
            assert_eq!(back.class(), opposite, "{procedure}: {what}, backwards");
        }
        assert!(!back.changes.is_empty(), "{procedure}: {what}, backwards");
    }
}

/// The lines of one text, from 1, that differ from the other, from the head of their step or rule on.
fn differing(one: &str, other: &str) -> Range<usize> {
    let (one, other): (Vec<&str>, Vec<&str>) = (one.lines().collect(), other.lines().collect());
    let same = one.iter().zip(&other).take_while(|(one, other)| one == other).count();
    let after = one.iter().rev().zip(other.iter().rev()).take_while(|(one, other)| one == other).count();
    let head = |line: &&str| {
        let depth = line.len() - line.trim_start().len();
        depth == 0 || depth == 2 && (line.starts_with("  - ") || line.ends_with(':'))
    };
    let from = one[..(same + 1).min(one.len())].iter().rposition(head).unwrap_or(same);
    from + 1..one.len().saturating_sub(after).max(same + 1) + 1
}

/// A warning that stands behind the act it is about warns of it no more.
#[test]
fn a_warning_moved_behind_its_act_is_told_at_both_places() {
    let equipment = demo::text("equipment");
    let own = demo::text("strainer-clean");
    let moved = crate::support::edit::rewritten(&own, "open-plug", "    warn: [chemical]\n", "");
    let moved =
        crate::support::edit::swap(&moved, "  - id: drain\n", "  - id: drain\n    warn: [chemical]\n");
    let comparison = compared(&revision(&own, &equipment), &revision(&moved, &equipment));
    let told: Vec<(Class, &str, bool)> = comparison
        .changes
        .iter()
        .filter(|change| change.what.words().starts_with("warning"))
        .map(|change| (change.class, change.what.words(), change.message.contains("`open-plug`")))
        .collect();
    let expected =
        [(Class::Weakened, "warning dropped", true), (Class::Strengthened, "warning added", false)];
    assert_eq!(told, expected);
    assert_eq!(comparison.class(), Class::Weakened);
}

#[test]
fn a_state_newly_reached_comes_with_a_run_to_it() {
    let equipment = demo::text("equipment");
    let own = demo::text("strainer-clean");
    let old = revision(&own, &equipment);
    // The step that shuts the valve goes, and so does what asks for it.
    let open = crate::support::edit::without(&own, "shut-valve");
    let open =
        crate::support::edit::rewritten(&open, "open-plug", "    requires: { outlet-valve: closed }\n", "");
    let new = revision(&open, &equipment);
    let comparison = compared(&old, &new);
    let reached: Vec<_> =
        comparison.changes.iter().filter(|change| change.what.words() == "state now reached").collect();
    let forbidden =
        reached.iter().find(|change| change.message.contains("forbids")).expect("a forbidden state");
    assert_eq!(forbidden.class, Class::Weakened);
    assert!(forbidden.trace.len() > 2, "{:?}", forbidden.trace);
    assert!(forbidden.trace.iter().any(|line| line.contains("`open-plug`")), "{:?}", forbidden.trace);
    let back = compared(&new, &old);
    let lost: Vec<_> =
        back.changes.iter().filter(|change| change.what.words() == "state no longer reached").collect();
    assert_eq!(lost.len(), reached.len());
    assert!(lost.iter().any(|change| change.class == Class::Strengthened), "{lost:?}");
}

#[test]
fn harmless_edits_show_no_change_at_all() {
    let equipment = demo::text("equipment");
    let (mut count, mut seen) = (0, BTreeSet::new());
    for (at, (file, what, text)) in edits().into_iter().enumerate() {
        // Each way of writing is tried, on half of the files in turn: the other half was hashed.
        if at % 2 == 1 && !seen.insert(what) {
            continue;
        }
        let of_machine = file == "equipment";
        let own = demo::text(if of_machine { "strainer-clean" } else { &file });
        let old = revision(&own, &equipment);
        let new = if of_machine { revision(&own, &text) } else { revision(&text, &equipment) };
        let comparison = compared(&old, &new);
        assert!(comparison.states_compared, "{what} in {file}");
        assert_eq!(comparison.changes, Vec::new(), "{what} in {file}");
        count += 1;
    }
    assert!(count >= 40, "{count}");
}

#[test]
fn a_step_that_nothing_leads_to_any_more_is_guarded_no_worse() {
    let equipment = demo::text("equipment");
    let own = demo::text("strainer-clean");
    let changed = crate::support::edit::swap(&own, "otherwise: shut-again", "otherwise: empty-bucket");
    let comparison = compared(&revision(&own, &equipment), &revision(&changed, &equipment));
    let bypassed = comparison.changes.iter().filter(|change| change.what.words() == "gate bypassed");
    let told: Vec<&str> = bypassed.map(|change| change.message.as_str()).collect();
    assert_eq!(told, ["`leak-check` no longer stands before `empty-bucket`, `record` on every way"]);
    let back = compared(&revision(&changed, &equipment), &revision(&own, &equipment));
    let further = back.changes.iter().find(|change| change.what.words() == "gate reaches further");
    assert_eq!(further.map(|change| change.class), Some(Class::Strengthened));
}

#[test]
fn renamed_steps_are_no_change() {
    let equipment = demo::text("equipment");
    for (procedure, old_name, new_name) in [
        ("strainer-clean", "open-bowl", "take-bowl-off"),
        ("strainer-clean", "refit", "put-screen-back"),
        ("strainer-clean", "shut-again", "close-valve-again"),
        ("tip-swap", "decay", "let-settle"),
        ("wand-reassembly", "tag-out", "hang-tag"),
        ("battery-replacement", "close-up", "cover-battery"),
        ("first-flush", "shut-leak", "close-for-leak"),
    ] {
        let own = demo::text(procedure);
        let renamed = renamed(&own, old_name, new_name);
        assert_ne!(own, renamed);
        let comparison = compared(&revision(&own, &equipment), &revision(&renamed, &equipment));
        assert_eq!(comparison.changes, Vec::new(), "{procedure}: {old_name}");
    }
}

#[test]
fn two_steps_that_exchange_their_names_are_no_change() {
    let equipment = demo::text("equipment");
    let own = demo::text("strainer-clean");
    let exchanged = [("wash-screen", "x"), ("wipe-bowl", "wash-screen"), ("x", "wipe-bowl")]
        .into_iter()
        .fold(own.clone(), |text, (old, new)| renamed(&text, old, new));
    assert_ne!(own, exchanged);
    let comparison = compared(&revision(&own, &equipment), &revision(&exchanged, &equipment));
    assert_eq!(comparison.changes, Vec::new());
}

/// A step under another name, with everything that leads to it.
fn renamed(text: &str, old: &str, new: &str) -> String {
    let word = |letter: char| letter.is_alphanumeric() || letter == '-';
    let mut lines = Vec::new();
    for line in text.lines() {
        let names = ["- id:", "then:", "otherwise:", "answers:", "yes:", "no:"];
        let leads = names.iter().any(|key| line.contains(key));
        let mut rest = line;
        let mut built = String::new();
        while let Some(at) = rest.find(old).filter(|_| leads) {
            let (before, after) = (&rest[..at], &rest[at + old.len()..]);
            let alone = !before.ends_with(word) && !after.starts_with(word);
            built.push_str(before);
            built.push_str(if alone { new } else { old });
            rest = after;
        }
        built.push_str(rest);
        lines.push(built);
    }
    lines.join("\n") + "\n"
}
