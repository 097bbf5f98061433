//! Waits that make a look too old, on ways where their order is open.

use super::sample::whole;
use crate::{Budget, check};
use document::InputFile;

const EQUIPMENT: &str =
    "conditions:\n  guard: { values: [shut, open], ask: Is the guard shut?, lapses: 15 min }\n";

/// The lines at which C18 is found with these steps; the first step stands on line 1.
fn found(steps: &str) -> Vec<usize> {
    found_with(EQUIPMENT, "equipment: press\nrequires: { guard: shut }", steps)
}

fn found_with(equipment: &str, head: &str, steps: &str) -> Vec<usize> {
    let equipment = whole(include_str!("../../explained/shared/equipment.yaml"), equipment);
    let head = format!("{head}\nsteps:\n");
    let procedure = whole(include_str!("../../explained/shared/procedure.yaml"), &format!("{head}{steps}"));
    let before = procedure.lines().position(|line| line == "steps:").expect("there are steps") + 1;
    let file = |name: &str, text: String| InputFile { name: name.to_owned(), bytes: text.into_bytes() };
    let files = [file("equipment", equipment), file("procedure", procedure)];
    let report = check(document::read(&files), &Budget { boxes: 10_000, go_on: &|| true })
        .expect("no fault of our own");
    let findings = report.findings();
    let line = |finding: &document::Diagnostic| {
        report.library.sources[finding.place.source.0 as usize].position(finding.place.span.start).line
            - before
    };
    findings.iter().filter(|finding| finding.code == "C18").map(line).collect()
}

fn wait(id: &str, minutes: u32) -> String {
    format!("- id: {id}\n  wait: {{ for: {minutes} min }}\n")
}

const NONE: [usize; 0] = [];
const PRESS: &str = "- id: press\n  do: Press both buttons.\n  requires: { guard: shut }\n";
const LOOK: &str = "- id: look\n  confirm: { guard: shut }\n  otherwise: stop\n";

#[test]
fn waits_are_counted_together_up_to_the_time_that_a_look_counts() {
    assert_eq!(found(&[&wait("a", 7), &wait("b", 8), PRESS].concat()), NONE);
    assert_eq!(found(&[&wait("a", 7), &wait("b", 9), PRESS].concat()), [4]);
    assert_eq!(found(&[&wait("a", 7), LOOK, &wait("b", 9), PRESS].concat()), NONE);
    assert_eq!(found(&[&wait("a", 16), PRESS, &wait("b", 16)].concat()), [2]);
    assert_eq!(found(&[wait("a", 16), wait("b", 16)].concat()), NONE, "nothing needs it any more");
}

/// What nobody sees is gone only as long as its feed was seen to be off.
#[test]
fn what_time_counts_under_is_looked_at_again_too() {
    let equipment = "conditions:\n  supply: { values: [isolated, live], ask: Is it at 0?, lapses: 15 min }\n  \
        charge: { values: [gone, present], settles: { from: present, to: gone, after: 45 s, while: { supply: isolated } } }\n";
    let use_it = "- id: use\n  do: Press both buttons.\n  requires: { charge: gone }\n";
    let off = "- id: off\n  do: Turn it to 0.\n  leaves: { supply: isolated }\n";
    let found = |steps: &str| found_with(equipment, "equipment: press", steps);
    assert_eq!(found(&[off, &wait("a", 15), use_it].concat()), NONE);
    assert_eq!(found(&[off, &wait("a", 16), use_it].concat()), [5]);
    let look = "- id: look\n  confirm: { supply: isolated }\n  otherwise: stop\n";
    assert_eq!(found(&[off, &wait("a", 16), look, use_it].concat()), NONE);
}

/// Items are done in any order, so that every wait of the others may lie before one.
#[test]
fn any_order_is_the_worst_order() {
    let group = |items: &[&str]| {
        let items = items.concat().replace('\n', "\n      ");
        format!("- id: group\n  any_order:\n      {}\n", items.trim_end())
    };
    let (short, long) = (wait("a", 7), wait("b", 9));
    assert_eq!(found(&group(&[PRESS, &short, &long])).len(), 1, "both waits may lie before it");
    assert_eq!(found(&group(&[PRESS, &short, &wait("b", 8)])), NONE);
    assert_eq!(found(&[&group(&[&short, &long, LOOK]), PRESS].concat()).len(), 1);
    assert_eq!(found(&[&group(&[&short, &long]), LOOK, PRESS].concat()), NONE);
}
