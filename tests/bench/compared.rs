//! Two revisions of one procedure, beside the reading of both.

use super::documents::{equipment, of_each, procedure};
use super::rows::{ratio, row, table, time, timed};
use check::Checked;
use document::{InputFile, Library};
use review::Side;
use std::fmt::Write;
use std::time::{Duration, Instant};

/// Conditions of each.
const CONDITIONS: usize = 10;
/// Sets of states that `compare` explores on each side.
const BOXES: usize = 500_000;
/// Seconds that one exploration may take.
const SECONDS: u64 = 60;

/// What became of the steps, each told by its name and its number.
const CHANGES: [(&str, Change); 9] = [
    ("unchanged", |steps| steps),
    ("one in the middle changed", |mut steps| {
        let middle = steps.len() / 2;
        steps[middle].again = true;
        steps
    }),
    ("every tenth changed", |mut steps| {
        steps.iter_mut().step_by(10).for_each(|step| step.again = true);
        steps
    }),
    ("every one changed", |mut steps| {
        steps.iter_mut().for_each(|step| step.again = true);
        steps
    }),
    ("all renamed", |mut steps| {
        steps.iter_mut().for_each(|step| step.name = "r");
        steps
    }),
    ("all renamed and changed: none is found again", |mut steps| {
        steps.iter_mut().for_each(|step| (step.name, step.again) = ("r", true));
        steps
    }),
    ("half of them moved", |steps| {
        let (odd, even): (Vec<Step>, Vec<Step>) = steps.into_iter().partition(|step| step.number % 2 == 1);
        [odd, even].concat()
    }),
    ("all reversed", |mut steps| {
        steps.reverse();
        steps
    }),
    ("all shuffled", |mut steps| {
        // 99,991 is a prime: every number of a step has its own remainder.
        steps.sort_by_key(|step| step.number * 61_803 % 99_991);
        steps
    }),
];

type Change = fn(Vec<Step>) -> Vec<Step>;

/// A step in words; every second one is a gate.
#[derive(Clone)]
struct Step {
    name: &'static str,
    number: usize,
    again: bool,
}

struct Revision {
    library: Library,
    checked: Checked,
}

pub(crate) fn run() {
    table(
        "Two revisions compared, every second step a gate",
        &[
            "steps",
            "what changed",
            "size",
            "read, both",
            "checked, both",
            "compared and told",
            "compared / read",
        ],
    );
    for count in [500, 5_000, 50_000] {
        let steps: Vec<Step> = (0..count).map(|number| Step { name: "s", number, again: false }).collect();
        let before = files(&steps);
        let (read_before, checked_before, old) = revision(&before);
        for (what, change) in CHANGES {
            let after = files(&change(steps.clone()));
            let (read, checked, new) = revision(&after);
            let read = read + read_before;
            let (compared, lines) = timed(|| told(&old, &new));
            row(&[
                count.to_string(),
                format!("{what} ({lines} lines told)"),
                format!("{:.1} MB", (before[1].bytes.len() + after[1].bytes.len()) as f64 / 1e6),
                time(read),
                time(checked + checked_before),
                time(compared),
                ratio(compared, read),
            ]);
        }
    }
}

fn files(steps: &[Step]) -> [InputFile; 2] {
    let mut text = format!("requires: {{ {} }}\nsteps:\n", of_each(CONDITIONS, |at| format!("c{at}: off")));
    for Step { name, number, again } in steps {
        let again = if *again { " again" } else { "" };
        let what = match number % 2 {
            0 => format!("do: Turn knob {number} to its stop{again}."),
            _ => format!(
                "confirm: {{ c{}: off }}\n    otherwise: stop\n    note: \"Look{again}.\"",
                number % CONDITIONS
            ),
        };
        let _ = writeln!(text, "  - id: {name}{number}\n    {what}");
    }
    let file = |name: &str, text: String| InputFile { name: name.to_owned(), bytes: text.into_bytes() };
    [file("rig.yaml", equipment(CONDITIONS)), file("main.yaml", procedure("main", &text))]
}

/// What was read and checked, with the times for that.
fn revision(files: &[InputFile]) -> (Duration, Duration, Revision) {
    let (read, reading) = timed(|| document::read(files));
    let name = reading.library.procedures.keys().next().expect("a procedure").clone();
    let (took, checked) = timed(|| {
        let end = Instant::now() + Duration::from_secs(SECONDS);
        let budget = check::Budget { boxes: BOXES, go_on: &|| Instant::now() < end };
        check::check_one(&reading.library, &reading.findings, &name, &budget).expect("no fault of ours")
    });
    assert!(checked.machine.is_some(), "{:?}", reading.findings);
    (read, took, Revision { library: reading.library, checked })
}

/// How many lines are told of what differs.
fn told(old: &Revision, new: &Revision) -> usize {
    fn side(of: &Revision) -> Side<'_> {
        Side::find(&of.library, &of.checked.procedure, Some(&of.checked))
            .expect("a procedure with its equipment")
    }
    let end = Instant::now() + Duration::from_secs(SECONDS);
    let budget = check::Budget { boxes: BOXES, go_on: &|| Instant::now() < end };
    let (before, after) = (side(old), side(new));
    let comparison = review::compare(&before, &after, &budget);
    assert!(comparison.states_compared);
    comparison.text(&before, &after).lines().count()
}
