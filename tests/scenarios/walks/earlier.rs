//! Walks of record format 1, made by the program before `proved` had its present meaning: they verify, are listed, shown and
//! exported as they were then, and are not gone on with.

use crate::support::run::{gatewright, root, stderr, stdout};
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Output, Stdio};

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

/// Nothing of them is believed and nothing is gone on with: an open one is stopped, by the plan for the whole machine, or is
/// finished on paper.
#[test]
fn an_open_walk_of_format_1_is_only_left() {
    let folder = tempfile::tempdir().expect("a folder");
    records(folder.path());
    let script = "done\nyes\nstop finished on paper\n";
    let output = said(folder.path(), &["resume", "open-earlier"], script);
    assert!(output.contains("for which `proved` meant less"), "{output}");
    assert!(output.contains("Say `stop REASON`"), "{output}");
    assert!(output.contains("The walk is stopped: finished on paper"), "{output}");
    assert!(output.contains("Look at the switch") || output.contains("Look at the supply"), "{output}");
    let list = stdout(&record(folder.path(), &["list"]));
    assert!(list.contains("open-earlier") && list.contains("stopped (finished on paper)"), "{list}");
    assert!(stdout(&record(folder.path(), &["verify"])).starts_with("intact: "));
    let ended = gatewright(folder.path(), &["resume", "completed-earlier", "--journal", "r.sqlite"]).output();
    assert!(stderr(&ended.expect("the program runs")).contains("nothing is left to do"));
}

fn said(folder: &Path, arguments: &[&str], script: &str) -> String {
    let mut child = gatewright(folder, arguments)
        .args(["--journal", "r.sqlite"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    // A program that ends early closes the pipe; its output says why.
    let _ = child.stdin.take().expect("an input").write_all(script.as_bytes());
    let output = child.wait_with_output().expect("the program ends");
    stdout(&output) + &stderr(&output)
}
