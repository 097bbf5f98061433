//! In the terminal: a walk that is taken up where the equipment as it stands now refutes what it goes by is stopped or left.

use super::program::{as_str, run, said, script, walking};
use crate::support::edit::swap;

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
