//! A demand is no prohibition: its act stands behind a release of its own, on every way.

use super::sample::sample;
use crate::registry::explain;
use crate::{Budget, check};

const ACT: &str = "  - id: run\n    do: Turn the switch to 1.\n    leaves: { supply: live }\n";
const HOLD: &str = "  - id: release\n    hold: { released_by: safety-officer, check: Make sure that nobody stands at the rollers. }\n";

/// The errors in the good sample with a text of its procedure written otherwise.
fn errors(edits: &[(&str, &str)]) -> Vec<&'static str> {
    let mut files = sample(explain("P14").expect("explained"), "Good").files;
    let procedure = files.last_mut().expect("there is a procedure");
    let mut text = String::from_utf8(procedure.bytes.clone()).expect("UTF-8");
    for (from, to) in edits {
        assert_eq!(text.matches(from).count(), 1, "`{from}`");
        text = text.replace(from, to);
    }
    procedure.bytes = text.into_bytes();
    let report = check(document::read(&files), &Budget { boxes: 10_000, go_on: &|| true })
        .expect("no fault of our own");
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
