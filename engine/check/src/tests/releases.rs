//! A demand is no prohibition: its act stands behind a release of its own, on every way.

use super::sample::{sample, whole};
use crate::registry::explain;
use crate::{Budget, check};
use document::InputFile;

const ACT: &str = "  - id: run\n    do: Turn the switch to 1.\n    leaves: { supply: live }\n";
const HOLD: &str = "  - id: release\n    hold: { released_by: safety-officer, check: Make sure that nobody stands at the rollers. }\n";

/// The errors in the good sample with some of its texts written otherwise.
fn errors(edits: &[(&str, &str)]) -> Vec<&'static str> {
    of_all(edits, None)
}

/// The same beside a procedure that it performs.
fn of_all(edits: &[(&str, &str)], performed: Option<&str>) -> Vec<&'static str> {
    errors_within(10_000, edits, performed)
}

fn errors_within(boxes: usize, edits: &[(&str, &str)], performed: Option<&str>) -> Vec<&'static str> {
    let mut files = sample(explain("P14").expect("explained"), "Good").files;
    for (from, to) in edits {
        let mut found = 0;
        for file in &mut files {
            let text = String::from_utf8(file.bytes.clone()).expect("UTF-8");
            found += text.matches(from).count();
            file.bytes = text.replace(from, to).into_bytes();
        }
        assert_eq!(found, 1, "`{from}`");
    }
    let shared = include_str!("../../explained/shared/procedure.yaml");
    files.extend(
        performed.map(|block| InputFile { name: "performed".to_owned(), bytes: whole(shared, block).into() }),
    );
    let report =
        check(document::read(&files), &Budget { boxes, go_on: &|| true }).expect("no fault of our own");
    let findings = report.findings();
    findings.iter().filter(|one| one.severity == document::Severity::Error).map(|one| one.code).collect()
}

#[test]
fn a_demand_does_not_forbid_its_states() {
    assert_eq!(errors(&[]), Vec::<&str>::new());
    assert_eq!(errors(&[("released_by: safety-officer, check", "released_by: technician, check")]), ["P14"]);
}

#[test]
fn a_way_past_the_hold_point_is_no_release() {
    let past = format!(
        "  - id: short\n    ask: Is it a short run?\n    answers: {{ yes: run, no: release }}\n{HOLD}"
    );
    assert_eq!(errors(&[(HOLD, &past)]), ["P14"]);
}

#[test]
fn an_act_that_keeps_the_rest_away_needs_no_release() {
    let guarded = ACT.replace("    leaves", "    requires: { guard: fitted }\n    leaves");
    let start = ("guard: removed }\nleaves", "guard: fitted }\nleaves");
    assert_eq!(errors(&[(HOLD, ""), (ACT, &guarded), start]), Vec::<&str>::new());
}

/// In any order the release may come after the act; once the block is done it was given.
#[test]
fn in_any_order_a_release_counts_behind_the_block_alone() {
    let look = "      - id: look\n        do: Look at the rollers.\n";
    let inside = |text: &str| {
        let items = text.replace("\n    ", "\n        ").replace("  - ", "      - ");
        format!("  - id: group\n    any_order:\n{items}{look}")
    };
    assert_eq!(errors(&[(HOLD, &inside(HOLD))]), Vec::<&str>::new());
    let both = inside(&format!("{HOLD}{ACT}"));
    assert_eq!(errors(&[(HOLD, ""), (ACT, &both)]), ["P14"]);
}

/// An act of several conditions is one: what it did first is known, and its release lasts until it is over.
#[test]
fn a_release_is_of_the_whole_step() {
    let leaves = |leaves: &str| ACT.replace("{ supply: live }", leaves);
    let first = leaves("{ guard: fitted, supply: live }");
    assert_eq!(errors(&[(HOLD, ""), (ACT, &first)]), Vec::<&str>::new(), "the guard is on by then");
    let last = leaves("{ supply: live, guard: fitted }");
    assert_eq!(errors(&[(HOLD, ""), (ACT, &last)]), ["P14"], "the guard is on only afterwards");
    let both = leaves("{ supply: live, guard: removed }");
    assert_eq!(errors(&[(ACT, &both)]), Vec::<&str>::new(), "one release for both");
}

/// Where the act stands makes no difference: inside a repeat each round takes a release of its own.
#[test]
fn a_release_is_asked_for_in_a_repeat_for_a_variant_and_in_what_is_performed() {
    let inside = |text: &str, by: usize| -> String {
        text.lines().map(|line| format!("{}{line}\n", " ".repeat(by))).collect()
    };
    let repeat = |steps: &str| {
        format!(
            "  - id: rounds\n    repeat:\n      until: {{ supply: live }}\n      at_most: 2\n      steps:\n{}    otherwise: stop\n",
            inside(steps, 6)
        )
    };
    let both = repeat(&[HOLD, ACT].concat());
    assert_eq!(errors(&[(HOLD, ""), (ACT, &both)]), Vec::<&str>::new(), "each round has its own");
    assert_eq!(errors(&[(ACT, &repeat(ACT))]), ["P14"], "the second round has none");
    let variants = ("conditions:\n  supply", "variants: { hose: [4 m, 12 m] }\nconditions:\n  supply");
    let only = ACT.replace("    do:", "    only: { hose: 4 m }\n    do:");
    assert_eq!(of_all(&[variants, (ACT, &only)], None), Vec::<&str>::new());
    assert_eq!(of_all(&[variants, (HOLD, ""), (ACT, &only)], None), ["P14"]);
    let other = HOLD.replace("    hold:", "    only: { hose: 12 m }\n    hold:");
    assert_eq!(of_all(&[variants, (HOLD, &other)], None), ["P14"], "released for other machines");
    let perform = "  - id: other\n    perform: run-it\n";
    let within = |steps: &str| {
        format!(
            "procedure: run-it\nequipment: press\nrequires: {{ guard: removed }}\nleaves: {{ supply: live }}\n\
             performers: {{ technician: 1, safety-officer: 1 }}\nsteps:\n{steps}"
        )
    };
    assert_eq!(
        of_all(&[(HOLD, ""), (ACT, perform)], Some(&within(&[HOLD, ACT].concat()))),
        Vec::<&str>::new()
    );
    assert_eq!(of_all(&[(HOLD, ""), (ACT, perform)], Some(&within(ACT))), ["P14"]);
}

const BARE: &str = "  - id: bare\n    do: Pull the guard off.\n    leaves: { guard: removed }\n";
const FITTED: (&str, &str) = ("guard: removed }\nleaves", "guard: fitted }\nleaves");

/// What cannot come true there needs no release, and uses none up.
#[test]
fn an_act_that_brings_nothing_about_needs_no_release() {
    let first = format!("{BARE}{HOLD}");
    assert_eq!(errors(&[FITTED, (HOLD, &first)]), Vec::<&str>::new(), "the supply is off there");
    let last = format!("{HOLD}{BARE}");
    assert_eq!(errors(&[FITTED, (HOLD, &last)]), Vec::<&str>::new(), "the release is not used up");
    let unknown =
        ("requires: { supply: isolated, guard: removed }\nleaves", "requires: { guard: fitted }\nleaves");
    assert_eq!(errors(&[unknown, (HOLD, &first)]), ["P14"], "the supply may be on there");
    assert!(errors_within(3, &[FITTED, (HOLD, &first)], None).contains(&"P14"), "nothing is known there");
}

/// In any order every order counts, also of items that no prohibition connects.
#[test]
fn in_any_order_an_act_may_come_after_each_other_one() {
    let items = format!("{BARE}{ACT}").replace("\n    ", "\n        ").replace("  - ", "      - ");
    let both = format!("{HOLD}  - id: group\n    any_order:\n{items}");
    assert_eq!(errors(&[FITTED, (HOLD, ""), (ACT, &both)]), ["P14", "P14"], "whichever comes last");
}

/// One machine does one of the two.
#[test]
fn a_release_is_of_each_variant() {
    let models = ("conditions:\n  supply", "variants: { model: [a, b] }\nconditions:\n  supply");
    let act = |id: &str, model: &str| {
        ACT.replace("run", id).replace("    do", &format!("    only: {{ model: {model} }}\n    do"))
    };
    let apart = [act("run-a", "a"), act("run-b", "b")].concat();
    assert_eq!(errors(&[models, (ACT, &apart)]), Vec::<&str>::new());
    let both = [act("run-a", "a"), act("run-b", "[a, b]")].concat();
    assert_eq!(errors(&[models, (ACT, &both)]), ["P14"]);
    let held = HOLD.replace("    hold", "    only: { model: a }\n    hold");
    assert_eq!(errors(&[models, (HOLD, &held)]), ["P14"], "nobody releases it for the other");
}
