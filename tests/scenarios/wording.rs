//! The rules about wording on texts that nobody wrote for them, and on the demo library.

use check::{Budget, Report, check};
use document::{InputFile, Severity, read};
use std::path::Path;

fn report(paths: &[&str]) -> Report {
    let files = paths.iter().map(|path| {
        let bytes =
            std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join(path)).expect("the file is there");
        InputFile { name: (*path).to_owned(), bytes }
    });
    let reading = read(&files.collect::<Vec<_>>());
    assert!(reading.findings.is_empty(), "{:?}", reading.findings);
    check(reading, &Budget { boxes: 100_000, go_on: &|| true }).expect("no fault of our own")
}

/// What is found, as code and the line's first word (the key, or the name of the step).
fn found(report: &Report) -> Vec<String> {
    let findings = report.findings();
    let told = findings.iter().map(|finding| {
        let subject = finding.message.split('`').nth(1).unwrap_or("");
        format!("{} {subject}", finding.code).trim_end().to_owned()
    });
    told.collect()
}

/// 29 CFR 1910.147 appendix A as it stands in the fixture (memory). Each of these was looked at: a sentence is long, in the passive, says
/// "shall", "etc." or "refer to", begins with no act, or tells two. Two that a reader would find are missed: the passive of `people`, which
/// an adverb parts, and the beginning of `stored`, which is no command.
#[test]
fn the_typical_procedure_of_the_regulation_is_judged_as_expected() {
    let report = report(&[
        "tests/fixtures/energy-control/equipment.yaml",
        "tests/fixtures/energy-control/appendix-a.yaml",
    ]);
    let wording: Vec<String> = found(&report).into_iter().filter(|found| found.starts_with('W')).collect();
    let expected: Vec<&str> =
        include_str!("../fixtures/energy-control/appendix-a.expected").lines().collect();
    assert_eq!(wording, expected);
}

/// Nothing is proved wrong in it: the order of the regulation is the one that the equipment asks for.
#[test]
fn the_typical_procedure_of_the_regulation_has_no_error() {
    let report = report(&[
        "tests/fixtures/energy-control/equipment.yaml",
        "tests/fixtures/energy-control/appendix-a.yaml",
    ]);
    let errors = report.findings().into_iter().filter(|finding| finding.severity == Severity::Error);
    assert_eq!(errors.map(|finding| finding.message).collect::<Vec<_>>(), Vec::<String>::new());
}

/// Nothing at all is found in the demo library, advice included; what its authors accept has its reason.
#[test]
fn nothing_is_found_in_the_demo_library() {
    let mut paths: Vec<String> = crate::support::demo::PROCEDURES
        .iter()
        .map(|name| format!("procedures/oskerry-22/{name}.yaml"))
        .collect();
    paths.push("procedures/oskerry-22/equipment.yaml".to_owned());
    let report = report(&paths.iter().map(String::as_str).collect::<Vec<_>>());
    assert_eq!(found(&report), Vec::<String>::new());
    assert!(report.accepted().iter().all(|accepted| accepted.reason.split(' ').count() > 3));
}
