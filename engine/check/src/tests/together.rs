//! One cause is told once.

use super::sample::{sample, whole};
use crate::registry::explain;
use crate::{Budget, Report, check};
use document::{Diagnostic, InputFile};

const SHARED: &str = include_str!("../../explained/shared/procedure.yaml");

fn report(files: &[InputFile]) -> Report {
    check(document::read(files), &Budget { boxes: 10_000, go_on: &|| true }).expect("no fault of our own")
}

/// The one finding of a code, with the lines of its other places.
fn only(report: &Report, code: &str) -> (Diagnostic, Vec<usize>) {
    let mut found = report.findings();
    found.retain(|finding| finding.code == code);
    assert_eq!(found.len(), 1, "{found:?}");
    let finding = found.remove(0);
    let line = |place: &document::Place| {
        report.library.sources[place.source.0 as usize].position(place.span.start).line
    };
    let also = finding.also.iter().map(line).collect();
    (finding, also)
}

/// What nothing restores is named once, at the equipment, whatever procedures and steps suffer from it.
#[test]
fn a_state_that_nothing_restores_is_told_once_for_all_procedures() {
    let mut files = sample(explain("P17").expect("explained"), "Bad").files;
    let second = "procedure: second\nsteps:\n  - id: open-cover\n    do: Take the wand cover off.\n    leaves: { cover: open }\n  \
                  - id: look\n    do: Look into the wand.\n  - id: close-cover\n    do: Put the wand cover on.\n    \
                  leaves: { cover: tight }\n";
    files.push(InputFile { name: "second".to_owned(), bytes: whole(SHARED, second).into_bytes() });
    let report = report(&files);
    let (finding, also) = only(&report, "P17");
    assert!(finding.message.contains("nothing leads to cover tight"), "{}", finding.message);
    assert!(also.is_empty(), "{:?}", finding.also);
    assert!(report.findings().iter().all(|finding| finding.code != "P09"), "its places are told with it");
    let of = |name: &str| report.findings_of(name).into_iter().filter(|one| one.code == "P17").count();
    assert_eq!((of("strainer-clean"), of("second")), (1, 1), "each is told what keeps it from being issued");
    assert!(!report.is_sound("strainer-clean") && !report.is_sound("second"));
}

/// Behind a way that nothing leads to the first step is told, the rest counted.
#[test]
fn a_dead_way_is_told_at_its_first_step() {
    let mut files = sample(explain("G02").expect("explained"), "Bad").files;
    let procedure = files.last_mut().expect("there is a procedure");
    let text = String::from_utf8(procedure.bytes.clone()).expect("UTF-8");
    let more: String =
        (1..=5).map(|at| format!("  - id: more-{at}\n    do: Wait for the supervisor.\n")).collect();
    procedure.bytes = text.replace("    then: stop\n", &more).into_bytes();
    let (finding, also) = only(&report(&files), "G02");
    assert!(finding.message.contains("`call`"), "{}", finding.message);
    assert_eq!(also.len(), 5, "{also:?}");
}

/// Two dead ways with causes of their own are two findings.
#[test]
fn two_causes_are_two_findings() {
    let by_hose = |name: &str, hose: &str| {
        format!("  - id: {name}\n    do: Wipe the screen.\n    only: {{ hose: {hose} }}\n    then: done\n")
    };
    let steps = [
        "procedure: trial\nsteps:\n  - id: look\n    ask: Is the screen whole?\n    answers: { yes: short, no: new-short }\n",
        &by_hose("short", "4 m"),
        &by_hose("long", "12 m"),
        "  - id: call\n    do: Call the supervisor.\n    then: stop\n",
        &by_hose("new-short", "4 m"),
        &by_hose("new-long", "12 m"),
        "  - id: tell\n    do: Tell the trainer.\n    then: stop\n",
    ];
    let mut files = sample(explain("P01").expect("explained"), "Good").files;
    files.truncate(2);
    files.push(InputFile { name: "trial".to_owned(), bytes: whole(SHARED, &steps.concat()).into_bytes() });
    let found = report(&files).findings();
    assert_eq!(found.iter().filter(|finding| finding.code == "G02").count(), 2, "{found:?}");
    assert!(found.iter().all(|finding| finding.also.is_empty()));
}
