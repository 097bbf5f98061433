//! Walks of record format 1, made by the program before `proved` had its present meaning: they verify, are listed, shown and
//! exported as they were then, and are not gone on with.

use crate::support::run::{gatewright, root, stderr, stdout};
use std::path::{Path, PathBuf};
use std::process::Output;

fn fixture(name: &str) -> PathBuf {
    root().join("tests/scenarios/walks/earlier").join(name)
}

fn text(name: &str) -> String {
    std::fs::read_to_string(fixture(name)).expect("a fixture")
}

/// A copy of the records, as nothing may be written beside them.
fn records(folder: &Path) {
    std::fs::copy(fixture("records.sqlite"), folder.join("r.sqlite")).expect("a copy");
}

fn record(folder: &Path, arguments: &[&str]) -> Output {
    let arguments: Vec<&str> = ["record"].iter().chain(arguments).copied().collect();
    let output =
        gatewright(folder, &arguments).args(["--journal", "r.sqlite"]).output().expect("the program runs");
    assert!(output.status.success(), "{arguments:?}: {}", stderr(&output));
    output
}

#[test]
fn records_of_format_1_are_told_as_they_were() {
    let folder = tempfile::tempdir().expect("a folder");
    records(folder.path());
    assert_eq!(stdout(&record(folder.path(), &["list"])), text("list.txt"));
    for walk in ["completed-earlier", "stopped-earlier", "open-earlier"] {
        assert_eq!(stdout(&record(folder.path(), &["show", walk])), text(&format!("{walk}.show.txt")));
    }
    assert_eq!(stdout(&record(folder.path(), &["export"])), text("export.json"));
    assert!(stdout(&record(folder.path(), &["verify"])).starts_with("intact: "));
}
