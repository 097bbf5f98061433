//! In the terminal: a walk that is taken up where the equipment as it stands now refutes what it goes by is stopped or left.

use super::program::{as_str, gatewright, read_until, run, said, script, walking};
use crate::support::edit::swap;
use std::io::{BufReader, Write as _};
use std::process::Stdio;

const WHY: &str = "NOT PROVED ANY MORE  What this walk goes by is not proved any more";

#[test]
fn a_walk_that_is_not_proved_any_more_is_not_gone_on_with() {
    let folder = tempfile::tempdir().expect("a folder");
    let journal = folder.path().join("records.sqlite");
    let lines = script("strainer-clean");
    let first_act = lines.iter().position(|line| line == "done").expect("an act");
    run(&journal, &as_str(&walking("strainer-clean")), &(lines[..=first_act].join("\n") + "\n"));
    let file = folder.path().join("procedures/oskerry-22/equipment.yaml");
    let equipment = std::fs::read_to_string(&file).expect("the equipment");
    let resume = ["resume", "the-walk", "--person", "Anneke Voss"];
    let write = |text: &str| std::fs::write(&file, text).expect("written");
    let told = |script: &str| said(&run(&journal, &resume, script));

    write(&swap(&equipment, "after: 45 s", "after: 90 s"));
    let output = told("done\nyes\nstop\n");
    assert!(output.contains(WHY), "{output}");
    assert!(output.contains("- high voltage at the tip settles after 90 s"), "{output}");
    assert_eq!(output.matches("Say `stop REASON`.").count(), 3, "{output}");
    assert!(!output.contains("goes on where its records end"), "{output}");
    // What does not read proves nothing.
    write(&swap(&equipment, "conditions:\n", "conditions: [\n"));
    let output = told("");
    assert!(output.contains("NOT PROVED ANY MORE  The equipment oskerry-22 is not among"), "{output}");
    // Taken back, it goes on.
    write(&equipment);
    let output = told("");
    assert!(output.contains("goes on where its records end") && !output.contains("NOT PROVED"), "{output}");

    write(&swap(&equipment, "after: 45 s", "after: 90 s"));
    let output = told("stop the wait is too short\n");
    let ended = "The walk is stopped: the wait is too short";
    assert!(output.contains(WHY) && output.contains(ended), "{output}");
    let show = said(&run(&journal, &["record", "show", "the-walk"], ""));
    assert!(
        show.contains("work stopped by Anneke Voss, who was not at the walk: the wait is too short"),
        "{show}"
    );
    // A new one is not begun.
    let output = said(&run(&journal, &["walk", "strainer-clean", "--training"], ""));
    let words =
        "This procedure is not proved under what is written now and cannot be begun: step `open-plug` needs";
    assert!(output.contains(words), "{output}");
}

/// While somebody walks, the officer writes a longer time: what was under way is recorded, and nothing further is begun until the
/// change is taken back.
#[test]
fn a_walk_under_way_is_shut_at_its_next_step() {
    let folder = tempfile::tempdir().expect("a folder");
    let journal = folder.path().join("records.sqlite");
    let lines = script("strainer-clean");
    let first_act = lines.iter().position(|line| line == "done").expect("an act");
    let mut child = gatewright(&journal, &as_str(&walking("strainer-clean")))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let file = folder.path().join("procedures/oskerry-22/equipment.yaml");
    let equipment = std::fs::read_to_string(&file).expect("the equipment");
    let mut input = child.stdin.take().expect("an input");
    let mut output = BufReader::new(child.stdout.take().expect("an output"));
    read_until(&mut output, " > ");
    let mut say = |line: &str| {
        writeln!(input, "{line}").expect("the program listens");
        read_until(&mut output, " > ")
    };
    let before = lines[..first_act].iter().map(|line| say(line)).last().expect("something was asked");
    assert!(before.ends_with("(done) > ") && !before.contains("NOT PROVED"), "{before}");
    std::fs::write(&file, swap(&equipment, "after: 45 s", "after: 90 s")).expect("written");
    let told = say("done");
    assert!(told.contains(WHY) && told.contains("- high voltage at the tip settles after 90 s"), "{told}");
    assert!(told.ends_with("(stop REASON) > ") && !told.contains("--- Step 4"), "{told}");
    for line in ["done", "yes", "skip"] {
        let told = say(line);
        assert!(told.ends_with("(stop REASON) > ") && !told.contains("--- Step"), "{line}: {told}");
    }
    // Taken back, what the rest relies on is asked again.
    std::fs::write(&file, &equipment).expect("written");
    let told = say("note the officer took it back");
    assert!(told.contains("proved again") && told.contains("--- To be looked at again"), "{told}");
    std::fs::write(&file, swap(&equipment, "after: 45 s", "after: 90 s")).expect("written");
    let told = say("stop the wait is too short");
    assert!(told.contains("The walk is stopped: the wait is too short"), "{told}");
    drop(input);
    child.wait().expect("it ends");
    let show = said(&run(&journal, &["record", "show", "the-walk"], ""));
    assert_eq!(show.matches(": done").count(), 1, "{show}");
}
