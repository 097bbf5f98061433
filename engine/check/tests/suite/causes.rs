//! One cause is told once, however many steps and procedures suffer from it.

use crate::demo;
use crate::edit::{rewritten, swap};
use document::{Diagnostic, InputFile};

const BUDGET: check::Budget<'static> = check::Budget { boxes: 100_000, go_on: &|| true };

/// What is found in these documents.
fn found(texts: &[(&str, String)]) -> Vec<Diagnostic> {
    let file = |(name, text): &(&str, String)| InputFile {
        name: format!("{name}.yaml"),
        bytes: text.clone().into_bytes(),
    };
    let reading = document::read(&texts.iter().map(file).collect::<Vec<_>>());
    check::check(reading, &BUDGET).expect("no fault of our own").findings()
}

fn codes(findings: &[Diagnostic]) -> Vec<&'static str> {
    findings.iter().map(|finding| finding.code).collect()
}

/// Whether nothing restores a part at all, or only what the rest contradicts: it is the equipment's fault alone.
#[test]
fn one_wrong_state_to_be_left_in_is_one_finding() {
    let wrong = [
        ("safe_state:\n  supply: isolated\n", "safe_state:\n  guard: removed\n  supply: isolated\n"),
        ("safe_state:\n  supply: isolated\n", "safe_state:\n  supply: live\n"),
    ];
    for (from, to) in wrong {
        let equipment = swap(&demo::text("equipment"), from, to);
        let procedures = ["strainer-clean", "pump-head"].map(|name| (name, demo::text(name)));
        let findings = found(&[&[("equipment", equipment)], &procedures[..]].concat());
        assert_eq!(codes(&findings), ["P17"], "{to}");
        let told = &findings[0];
        assert!(told.message.contains("no act with `restores: true` leaves it"), "{}", told.message);
        assert!(told.also.is_empty() && !told.trace.is_empty(), "{told:?}");
    }
}

/// A failed look that leads on leaves everything open that it asks for: the finding names the look, and where the rest is needed.
#[test]
fn what_one_failed_look_leaves_open_is_one_finding() {
    let leads_on =
        |text: &str| rewritten(text, "confirm-isolated", "otherwise: stop", "otherwise: confirm-no-pressure");
    let texts =
        [("equipment", demo::text("equipment")), ("strainer-clean", leads_on(&demo::text("strainer-clean")))];
    let look = "a look at step `confirm-isolated` says that it is not so";
    let mut findings = found(&texts);
    findings.retain(|finding| finding.help.as_deref().is_some_and(|help| help.starts_with(look)));
    assert_eq!(codes(&findings), ["P01"]);
    let told = &findings[0];
    assert!(told.notes.len() > 1, "{:?}", told.notes);
}

/// The time of a condition counts whatever its cause does: that is one finding, in the equipment.
#[test]
fn a_cause_without_while_is_one_finding_in_the_equipment() {
    let equipment =
        swap(&demo::text("equipment"), "after: 45 s, while: { supply: isolated } }", "after: 45 s }");
    let procedures = ["strainer-clean", "pump-head"].map(|name| (name, demo::text(name)));
    let findings = found(&[&[("equipment", equipment)], &procedures[..]].concat());
    assert_eq!(codes(&findings), ["E09"]);
}
