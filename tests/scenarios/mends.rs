//! Mends as the program shows and writes them.

use crate::support::demo;
use crate::support::edit::{rewritten, without};
use crate::support::run::gatewright;
use serde_json::Value;
use std::path::Path;

/// Whether all lines of `part` stand in `whole` in their order.
fn keeps_every_line(part: &str, whole: &str) -> bool {
    let mut lines = whole.lines();
    part.lines().all(|line| lines.any(|other| other == line))
}

/// A folder with the demo equipment and one procedure of it.
fn folder(procedure: &str, text: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("equipment.yaml"), demo::text("equipment")).expect("written");
    std::fs::write(folder.path().join(format!("{procedure}.yaml")), text).expect("written");
    folder
}

fn run(folder: &Path, arguments: &[&str]) -> (String, Option<i32>) {
    let output = gatewright(folder, arguments).output().expect("the program starts");
    (String::from_utf8(output.stdout).expect("UTF-8"), output.status.code())
}

#[test]
fn the_program_prints_the_difference_and_writes_it_on_demand() {
    let folder = folder("tip-swap", &without(&demo::text("tip-swap"), "decay"));
    let run = |arguments: &[&str]| run(folder.path(), arguments);
    let path = folder.path().join("tip-swap.yaml");
    let before = std::fs::read_to_string(&path).expect("readable");
    let (shown, _) = run(&["check", "--mend", "."]);
    assert!(shown.contains("\n+    wait: { for: 45 s }\n"), "{shown}");
    assert_eq!(std::fs::read_to_string(&path).expect("readable"), before, "nothing is written unasked");
    run(&["check", "--mend", "--write", "."]);
    let after = std::fs::read_to_string(&path).expect("readable");
    assert!(keeps_every_line(&before, &after) && after != before);
    assert_eq!(run(&["check", "."]).1, Some(0));
}

/// A look without a way of no keeps everything from being proved, and is mended all the same.
#[test]
fn a_look_without_a_way_of_no_is_given_one_on_demand() {
    let text = rewritten(&demo::text("strainer-clean"), "confirm-no-pressure", "\n    otherwise: stop", "");
    let folder = folder("strainer-clean", &text);
    let (shown, _) = run(folder.path(), &["check", "--mend", "--write", "."]);
    assert!(shown.contains("error[N11]") && shown.contains("\n+    otherwise: stop\n"), "{shown}");
    assert_eq!(run(folder.path(), &["check", "."]).1, Some(0));
}

/// Where none is found the program says so, in words and as data.
#[test]
fn that_no_mend_is_found_is_said() {
    // Nobody can look at the lever, and no act moves it.
    let folder = tempfile::tempdir().expect("a folder");
    let equipment = "equipment: press\ntitle: Bench press\nrevision: 1\nconditions: { lever: { values: [up, down] } }\n\
        roles: { technician: Trained on this press. }\n";
    let procedure = "procedure: work\ntitle: Take the part out\nequipment: press\nrevision: 1\npurpose: Free the press.\n\
        scope: The press alone.\nperformers: { technician: 1 }\ntime: 10 min\nlevel_of_use: continuous\ntools: none\n\
        supplies: none\nspares: none\nwear: none\nsteps:\n\
        \x20 - { id: take, do: Take the part out., requires: { lever: down } }\n";
    for (name, text) in [("equipment.yaml", equipment), ("work.yaml", procedure)] {
        std::fs::write(folder.path().join(name), text).expect("written");
    }
    let (shown, _) = run(folder.path(), &["check", "--mend", "."]);
    assert!(shown.contains(&format!("\nwork: {}\n", check::NO_MEND)), "{shown}");
    let (shown, _) = run(folder.path(), &["check", "--mend", "--form", "json", "."]);
    let report: Value = serde_json::from_str(&shown).expect("JSON");
    assert_eq!(report["mends"][0]["found"], false);
}

/// The lines that change, from the back so that no line moves.
fn changed(text: &str, changes: &[(usize, usize, String)]) -> String {
    let mut lines: Vec<String> = text.split_inclusive('\n').map(str::to_owned).collect();
    for (line, count, new) in changes.iter().rev() {
        lines.splice(line - 1..line - 1 + count, [new.clone()]);
    }
    lines.concat()
}

fn number(value: &Value) -> usize {
    usize::try_from(value.as_u64().expect("a number")).expect("small")
}

/// What another program makes of the mend, as JSON and as SARIF, is what this one writes.
#[test]
fn a_mend_as_data_is_the_mend_that_is_written() {
    let text = rewritten(&demo::text("strainer-clean"), "decay", "for: 45 s", "for: 30 s");
    let folder = folder("strainer-clean", &text);
    let (shown, _) = run(folder.path(), &["check", "--mend", "--form", "json", "."]);
    let report: Value = serde_json::from_str(&shown).expect("JSON");
    let mend = &report["mends"][0];
    assert_eq!((&mend["procedure"], &mend["found"]), (&"strainer-clean".into(), &true.into()));
    let one = |change: &Value| {
        let new = change["text"].as_str().expect("a text").to_owned();
        (number(&change["line"]), number(&change["lines"]), new)
    };
    let as_json: Vec<_> = mend["changes"].as_array().expect("changes").iter().map(one).collect();
    let (shown, _) = run(folder.path(), &["check", "--mend", "--form", "sarif", "."]);
    let log: Value = serde_json::from_str(&shown).expect("JSON");
    let results = log["runs"][0]["results"].as_array().expect("results");
    let result = results.iter().find(|result| result["ruleId"] == "P01").expect("the fault");
    let replacements = &result["fixes"][0]["artifactChanges"][0]["replacements"];
    let one = |change: &Value| {
        let region = &change["deletedRegion"];
        let (start, end) = (number(&region["startLine"]), number(&region["endLine"]));
        let new = change["insertedContent"]["text"].as_str().expect("a text").to_owned();
        (start, end - start, new)
    };
    let as_sarif: Vec<_> = replacements.as_array().expect("replacements").iter().map(one).collect();
    assert_eq!(as_json, as_sarif);
    run(folder.path(), &["check", "--mend", "--write", "."]);
    let written = std::fs::read_to_string(folder.path().join("strainer-clean.yaml")).expect("readable");
    assert_eq!(changed(&text, &as_json), written);
    assert_eq!(written, demo::text("strainer-clean"));
    assert_eq!(run(folder.path(), &["check", "."]).1, Some(0));
}
