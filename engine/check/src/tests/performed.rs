//! What is wrong with a procedure that another one performs.

use super::sample::{EQUIPMENT, whole};
use crate::{Budget, Report, check};
use document::InputFile;

const SHARED: &str = include_str!("../../explained/shared/procedure.yaml");

/// A procedure of this name that performs another.
fn performing(name: &str, other: &str) -> Vec<u8> {
    let block = format!("procedure: {name}\nsteps:\n  - id: other\n    perform: {other}\n");
    whole(SHARED, &block).into_bytes()
}

/// `main` performs `between`, which performs `inner`, whose document is what is given.
fn checked(inner: Option<Vec<u8>>) -> Report {
    let mut files: Vec<InputFile> = EQUIPMENT
        .iter()
        .map(|(name, text)| InputFile { name: (*name).to_owned(), bytes: text.as_bytes().to_vec() })
        .collect();
    let documents =
        [("main", Some(performing("main", "between"))), ("between", Some(performing("between", "inner")))];
    for (name, bytes) in documents.into_iter().chain([("inner", inner)]) {
        files.extend(bytes.map(|bytes| InputFile { name: name.to_owned(), bytes }));
    }
    check(document::read(&files), &Budget { boxes: 10_000, go_on: &|| true }).expect("no fault of our own")
}

/// Where each error stands that keeps `main` from being issued: the file and its code.
fn errors(report: &Report) -> Vec<(String, &'static str)> {
    let name = |source: document::SourceId| report.library.sources[source.0 as usize].name.clone();
    report.errors_of("main").iter().map(|finding| (name(finding.place.source), finding.code)).collect()
}

#[test]
fn an_error_in_it_is_told_at_its_place_and_nothing_that_rests_on_it_is_proved() {
    let sound = whole(SHARED, "procedure: inner\n");
    let shapes: [(&str, Vec<u8>, &str); 5] = [
        ("a fault of shape", whole(SHARED, "procedure: inner\nrevision: soon\n").into_bytes(), "R13"),
        ("no YAML", sound.replace("steps:", "steps: [").into_bytes(), "R04"),
        ("no text", [sound.as_bytes(), b"note: \xe9\n"].concat(), "R02"),
        ("a name that is none", sound.replace("do: Wipe", "action: wipe #").into_bytes(), "N05"),
        ("no way on", sound.replace("    expect", "    then: nowhere\n    expect").into_bytes(), "N09"),
    ];
    for (shape, document, code) in shapes {
        let report = checked(Some(document));
        let told = errors(&report);
        assert!(told.iter().all(|(file, _)| file == "inner"), "{shape}: {told:?}");
        assert!(told.iter().any(|(_, found)| *found == code), "{shape}: {told:?}");
        for name in ["main", "between"] {
            assert!(!report.is_sound(name), "{shape}: `{name}` may not be issued");
        }
        let compiled = report.procedures.iter().filter(|checked| checked.machine.is_some());
        assert_eq!(compiled.count(), 0, "{shape}");
    }
}

#[test]
fn one_that_was_not_read_is_told_where_it_is_performed() {
    let report = checked(None);
    assert_eq!(errors(&report), [("between".to_owned(), "N07")]);
    assert!(!report.is_sound("main"));
}

#[test]
fn without_errors_in_it_all_is_proved() {
    let report = checked(Some(whole(SHARED, "procedure: inner\n").into_bytes()));
    assert_eq!(errors(&report), []);
    for name in ["main", "between", "inner"] {
        assert!(report.is_sound(name), "{name}");
    }
}
