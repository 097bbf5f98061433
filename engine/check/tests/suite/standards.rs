//! What five published texts ask for, each as a small equipment and a procedure in `tests/standards`, where its source and mark
//! stand. What the text asks for is proved; where the part that it asks for is left out or comes too late, the proof says so, at the
//! step that it would hurt at, by the rule for it.

use crate::{edit, file};
use check::{Budget, check};
use document::{Severity, read};

/// An equipment and its procedure.
type Pair = [String; 2];

macro_rules! pair {
    ($folder:literal) => {
        [
            include_str!(concat!("../../../../tests/standards/", $folder, "/equipment.yaml")).to_owned(),
            include_str!(concat!("../../../../tests/standards/", $folder, "/procedure.yaml")).to_owned(),
        ]
    };
}

/// The errors: each with its code and the step, condition or other name that its message begins with.
fn errors([equipment, procedure]: &Pair) -> Vec<String> {
    let reading = read(&[file("equipment", equipment), file("procedure", procedure)]);
    assert!(reading.findings.is_empty(), "{:?}", reading.findings);
    let report = check(reading, &Budget { boxes: 10_000, go_on: &|| true }).expect("no fault of our own");
    let findings = report.findings().into_iter().filter(|finding| finding.severity == Severity::Error);
    findings
        .map(|finding| format!("{} {}", finding.code, finding.message.split('`').nth(1).unwrap_or("")))
        .collect()
}

/// What is refuted once the procedure has been written otherwise.
fn refuted([equipment, procedure]: &Pair, slip: impl Fn(&str) -> String) -> Vec<String> {
    let spoilt = slip(procedure);
    assert_ne!(spoilt, *procedure);
    errors(&[equipment.clone(), spoilt])
}

const NOTHING: [&str; 0] = [];

/// 29 CFR 1910.147(d)(5)(ii); mark: read, in two public copies.
#[test]
fn energy_that_builds_up_again_is_verified_until_the_work_ends_or_it_no_longer_can() {
    let pair = pair!("reaccumulation");
    assert_eq!(errors(&pair), NOTHING);
    for (look, work) in [("verify-again", "part"), ("verify-last", "take-out")] {
        let told = refuted(&pair, |text| edit::without(text, look));
        assert_eq!(told[0], format!("P01 {work}"), "{told:?}");
    }
    // Once nothing feeds it any more, the looks between may go; not while something does.
    let told = refuted(&pair, |text| {
        edit::rewritten(
            text,
            "take-out",
            "Take the seal out.",
            "Take the seal out.\n    disturbs: [pressure]",
        )
    });
    assert_eq!(told, ["P01 put-in"]);
}

/// ECSS-E-ST-70-32C; mark: 2nd, and memory for what follows where it is not confirmed.
#[test]
fn a_step_is_confirmed_after_its_main_body_or_its_contingency_follows() {
    let pair = pair!("confirmation");
    assert_eq!(errors(&pair), NOTHING);
    // No confirmation: the command alone says nothing.
    assert_eq!(refuted(&pair, |text| edit::without(text, "open-confirmed")), ["P02 start"]);
    // Not confirmed, and it goes on; or its contingency goes on.
    let on = |step, from, to| refuted(&pair, |text| edit::rewritten(text, step, from, to));
    assert_eq!(on("open-confirmed", "otherwise: contingency", "otherwise: start"), ["P02 start"]);
    assert_eq!(on("contingency", "then: stop", "then: start"), ["G04 start", "P02 start"]);
    // The confirmation of the whole decides what is promised.
    assert_eq!(
        refuted(&pair, |text| edit::rewritten(text, "shut-confirmed", "shut }", "[shut, open] }")),
        ["P04 feed"]
    );
}

/// FAA AC 120-71B; mark: 2nd, and memory for which items are verified. The walk is in `walk/tests`.
#[test]
fn what_was_done_before_an_interruption_can_be_verified_after_it() {
    let pair = pair!("interruption");
    assert_eq!(errors(&pair), NOTHING);
    let [equipment, procedure] = &pair;
    let unseen = edit::swap(equipment, ", ask: Is the trim at the mark? }", " }");
    // Lost from the item after which it is known.
    assert_eq!(errors(&[unseen, procedure.clone()]), ["P10 flaps"]);
    assert_eq!(refuted(&pair, |text| edit::without(text, "trim")), ["P01 roll"]);
}

/// 29 CFR 1910.147(d)(3) to (d)(6); mark: read, and memory for the end of (d)(6).
#[test]
fn stored_energy_is_relieved_and_verified_after_isolation() {
    let pair = pair!("isolation");
    assert_eq!(errors(&pair), NOTHING);
    let told = |slip: &dyn Fn(&str) -> String| refuted(&pair, slip);
    let look = |text: &str, conditions: &str| {
        edit::rewritten(text, "verify", "{ supply: isolated, charge: gone }", conditions)
    };
    // Neither a meter nor a resistor tells anything that lasts while the supply may be on.
    assert_eq!(told(&|text| look(&edit::without(text, "isolate"), "{ charge: gone }")), ["P01 bare"]);
    assert_eq!(told(&|text| edit::without(&edit::without(text, "isolate"), "verify")), ["P01 bare"]);
    assert_eq!(
        told(&|text| look(&edit::without(text, "isolate"), "{ charge: gone, supply: isolated }")),
        ["P01 bare"]
    );
    // A look at the isolator first will do.
    let seen = edit::without(&pair[1], "isolate");
    assert_eq!(errors(&[pair[0].clone(), seen]), NOTHING);
    // Relieved before it is isolated, and looked at before.
    let early = |text: &str| edit::without(&edit::swapped(text, "isolate", "relieve"), "verify");
    assert_eq!(told(&early), ["P01 bare"]);
    // Where nothing is said of what feeds it, the meter counts.
    let [equipment, procedure] = &pair;
    let unfed = edit::swap(equipment, "    lost_when: { supply: live }\n", "");
    let looked = look(&edit::without(procedure, "isolate"), "{ charge: gone }");
    assert_eq!(errors(&[unfed, looked]), NOTHING);
}

/// IEC 61010-1, EN 60204-1 and ISO 14118; mark: 2nd, and memory for the 10 s and the clauses of ISO 14118.
#[test]
fn stored_energy_is_isolated_locked_out_and_dissipated_before_access() {
    let pair = pair!("dissipation");
    assert_eq!(errors(&pair), NOTHING);
    let without = |step| refuted(&pair, |text| edit::without(text, step));
    assert_eq!(without("isolate"), ["P02 open"]);
    assert_eq!(without("lock"), ["P02 open"]);
    assert_eq!(without("dissipate"), ["P02 open"]);
    let short = |text: &str| edit::rewritten(text, "dissipate", "10 s", "9999 ms");
    assert_eq!(refuted(&pair, short), ["P02 open"]);
    let swapped = |first, second| refuted(&pair, |text| edit::swapped(text, first, second));
    assert_eq!(swapped("dissipate", "open"), ["P02 open"]);
    // Time counts only while the supply is off.
    assert_eq!(swapped("isolate", "dissipate"), ["P02 open"]);
    // The lock comes off with the cover still off.
    assert_eq!(swapped("close", "unlock"), ["P02 unlock"]);
}
