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
    let report = reported(equipment, head, steps);
    let of_steps = |finding: &document::Diagnostic| {
        let source = &report.library.sources[finding.place.source.0 as usize];
        let before = source.text.lines().position(|line| line == "steps:").expect("there are steps") + 1;
        source.position(finding.place.span.start).line - before
    };
    report.findings().iter().filter(|finding| finding.code == "C18").map(of_steps).collect()
}

fn reported(equipment: &str, head: &str, steps: &str) -> crate::Report {
    let equipment = whole(include_str!("../../explained/shared/equipment.yaml"), equipment);
    let head = format!("{head}\nsteps:\n");
    let procedure = whole(include_str!("../../explained/shared/procedure.yaml"), &format!("{head}{steps}"));
    let file = |name: &str, text: String| InputFile { name: name.to_owned(), bytes: text.into_bytes() };
    let files = [file("equipment", equipment), file("procedure", procedure)];
    check(document::read(&files), &Budget { boxes: 10_000, go_on: &|| true }).expect("no fault of our own")
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

/// What nobody sees and what is covered is not asked for as if it could be seen.
#[test]
fn the_help_says_what_can_be_done() {
    let help = |condition: &str| {
        let equipment =
            format!("conditions:\n  lid: {{ values: [on, off], ask: Is it on? }}\n  guard: {condition}\n");
        let procedure = [&wait("a", 16), PRESS].concat();
        let report = reported(&equipment, "equipment: press\nrequires: { guard: shut }", &procedure);
        let found = report.findings().into_iter().find(|finding| finding.code == "C18");
        found.and_then(|finding| finding.help).unwrap_or_default()
    };
    let hidden = help("{ values: [shut, open], seen_by: nobody, lapses: 15 min }");
    assert_eq!(hidden, "make `guard` so again after the wait: nobody can see it");
    let covered = help("{ values: [shut, open], ask: Is it?, seen_when: { lid: off }, lapses: 15 min }");
    assert!(covered.ends_with("`guard`, while it can be seen (`seen_when`)"), "{covered}");
}
