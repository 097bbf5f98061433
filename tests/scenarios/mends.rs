//! Mends: proved before they are shown, and nothing that was there is lost.

use crate::support::demo;
use crate::support::edit::without;
use document::InputFile;
use document::model::Name;
use std::process::Command;

const BUDGET: check::Budget<'static> = check::Budget { boxes: 100_000, go_on: &|| true };

/// The demo library with one procedure changed.
fn with(procedure: &str, change: impl Fn(&str) -> String) -> Vec<InputFile> {
    let mut files = demo::files();
    let file = files.iter_mut().find(|file| file.name == format!("{procedure}.yaml")).expect("the procedure");
    let text = String::from_utf8(file.bytes.clone()).expect("UTF-8");
    let changed = change(&text);
    assert_ne!(changed, text, "the fault was not put in");
    file.bytes = changed.into_bytes();
    files
}

/// Whether all lines of `part` stand in `whole` in their order.
fn keeps_every_line(part: &str, whole: &str) -> bool {
    let mut lines = whole.lines();
    part.lines().all(|line| lines.any(|other| other == line))
}

fn errors(files: &[InputFile], procedure: &str) -> usize {
    let reading = document::read(files);
    let report = check::check(reading, &BUDGET).expect("no fault of our own");
    report.errors_of(procedure).len()
}

#[test]
fn steps_taken_out_are_put_back_and_the_whole_is_proved() {
    for (procedure, step) in [
        ("tip-swap", "isolate"),
        ("tip-swap", "decay"),
        ("tip-swap", "relieve"),
        ("tip-swap", "gloves"),
        ("strainer-clean", "gloves"),
        ("battery-replacement", "decay"),
    ] {
        let files = with(procedure, |text| without(text, step));
        assert!(errors(&files, procedure) > 0, "{procedure} without `{step}` has no fault");
        let reading = document::read(&files);
        let mend = check::mend(&reading.library, &Name::from(procedure), &BUDGET);
        let mend = mend.unwrap_or_else(|| panic!("{procedure} without `{step}` is not mended"));
        let before = &reading.library.sources[mend.source.0 as usize].text;
        assert!(keeps_every_line(before, &mend.text), "{procedure} without `{step}`: a line is lost");
        assert!(mend.text.lines().count() <= before.lines().count() + 4, "more than two steps were put in");
        let mended = with(procedure, |_| mend.text.clone());
        assert_eq!(
            errors(&mended, procedure),
            0,
            "{procedure} without `{step}` is not proved after the mend"
        );
    }
}

#[test]
fn where_no_insertion_helps_it_says_so() {
    // The gasket is looked at by no action of the equipment.
    let files = with("wand-reassembly", |text| without(text, "gasket-in"));
    let reading = document::read(&files);
    assert_eq!(check::mend(&reading.library, &Name::from("wand-reassembly"), &BUDGET), None);
}

#[test]
fn the_program_prints_the_difference_and_writes_it_on_demand() {
    let folder = tempfile::tempdir().expect("a folder");
    for file in with("tip-swap", |text| without(text, "decay")) {
        if ["equipment.yaml", "tip-swap.yaml"].contains(&file.name.as_str()) {
            std::fs::write(folder.path().join(&file.name), &file.bytes).expect("written");
        }
    }
    let run = |arguments: &[&str]| {
        Command::new(env!("CARGO_BIN_EXE_gatewright"))
            .current_dir(folder.path())
            .env_clear()
            .args(arguments)
            .output()
            .expect("the program starts")
    };
    let path = folder.path().join("tip-swap.yaml");
    let before = std::fs::read_to_string(&path).expect("readable");
    let shown = String::from_utf8(run(&["check", "--mend", "."]).stdout).expect("UTF-8");
    assert!(shown.contains("\n+    wait: { for: 45 s }\n"), "{shown}");
    assert_eq!(std::fs::read_to_string(&path).expect("readable"), before, "nothing is written unasked");
    run(&["check", "--mend", "--write", "."]);
    let after = std::fs::read_to_string(&path).expect("readable");
    assert!(keeps_every_line(&before, &after) && after != before);
    assert_eq!(run(&["check", "."]).status.code(), Some(0));
}
