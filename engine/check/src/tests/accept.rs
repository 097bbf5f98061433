//! Findings that authors accept at their place.

use super::sample::sample;
use crate::registry::{explain, explanations};
use crate::{Budget, Report, check};
use document::InputFile;

fn report(files: &[InputFile]) -> Report {
    let budget = Budget { boxes: 1_000, go_on: &|| true };
    check(document::read(files), &budget).expect("no fault of our own")
}

/// The good sample of S01 accepts a semicolon: the finding is not told, and its reason is kept.
#[test]
fn what_is_accepted_is_kept_with_its_reason() {
    let report = report(&sample(explain("S01").expect("explained"), "Good").files);
    assert_eq!(report.findings(), Vec::new());
    let [accepted] = &report.accepted()[..] else { panic!("{:?}", report.accepted()) };
    assert_eq!(accepted.finding.code, "W16");
    assert_eq!(accepted.reason, "The maker writes it so.");
}

/// Without the entry the same text is told: accepting is what silences it.
#[test]
fn without_the_entry_it_is_told() {
    let mut files = sample(explain("S01").expect("explained"), "Good").files;
    let procedure = files.last_mut().expect("there is a procedure");
    let text = String::from_utf8(procedure.bytes.clone()).expect("UTF-8");
    let line = text.lines().find(|line| line.contains("accept")).expect("there is an entry");
    procedure.bytes = text.replace(line, "").into_bytes();
    let report = report(&files);
    let codes: Vec<&str> = report.findings().iter().map(|finding| finding.code).collect();
    assert_eq!(codes, ["W16"]);
    assert!(report.accepted().is_empty());
}

/// An entry on another step, or for another code, silences nothing.
#[test]
fn an_entry_elsewhere_silences_nothing() {
    let mut files = sample(explain("S01").expect("explained"), "Good").files;
    let procedure = files.last_mut().expect("there is a procedure");
    let text = String::from_utf8(procedure.bytes.clone()).expect("UTF-8");
    let line = text.lines().find(|line| line.contains("accept")).expect("there is an entry");
    let other =
        format!("  - id: dry\n    do: Dry the screen by hand.\n    expect: No drop is visible.\n{line}");
    procedure.bytes = text.replace(line, &other).into_bytes();
    let report = report(&files);
    let codes: Vec<&str> = report.findings().iter().map(|finding| finding.code).collect();
    assert_eq!(codes, ["W16", "S01"]);
}

/// On the procedure an entry holds for all its steps.
#[test]
fn an_entry_of_the_procedure_holds_for_its_steps() {
    let mut files = sample(explain("W16").expect("explained"), "Bad").files;
    let procedure = files.last_mut().expect("there is a procedure");
    let text = String::from_utf8(procedure.bytes.clone()).expect("UTF-8");
    procedure.bytes = text.replace("steps:", "accept: { W16: The maker writes it so. }\nsteps:").into_bytes();
    let report = report(&files);
    assert_eq!((report.findings().len(), report.accepted().len()), (0, 1));
}

/// An entry for an error silences nothing, and says that it cannot.
#[test]
fn an_error_is_told_whatever_is_accepted() {
    let mut files = sample(explain("P12").expect("explained"), "Bad").files;
    let procedure = files.last_mut().expect("there is a procedure");
    procedure.bytes = [b"accept: { P12: The site has long documents. }\n", &procedure.bytes[..]].concat();
    let codes: Vec<&str> = report(&files).findings().iter().map(|finding| finding.code).collect();
    assert!(codes.contains(&"P12") && codes.contains(&"S02"), "{codes:?}");
}

/// What is proved or read cannot be accepted; what is judged can.
#[test]
fn families_that_can_be_accepted_are_those_that_judge() {
    let judged = explanations().iter().filter(|one| crate::rules::is_acceptable(one.code));
    assert!(judged.count() >= 45);
    let not = ["P01", "S01", "G01", "R01", "N01", "A01", "F01", "W99", "w16", "C", ""];
    assert!(!not.into_iter().any(crate::rules::is_acceptable));
}
