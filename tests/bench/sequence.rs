//! Straight procedures: each step needs what an earlier one left.

use super::documents::{equipment, procedure, program_over, prove, verdict};
use super::rows::{ratio, row, table, time};
use super::spin::{Spin, spin, with_gcc};
use std::fmt::Write;

/// Conditions of a straight procedure.
const CONDITIONS: usize = 10;

pub(crate) fn run() {
    table(
        "Straight procedures, 10 conditions",
        &[
            "steps",
            "read, compiled, proved",
            "of it proving",
            "whole program",
            "SPIN (-a + tcc + pan)",
            "SPIN with gcc",
            "tcc, gcc / reading too",
            "tcc, gcc / without reading",
            "tcc, gcc / program",
            "verdict",
        ],
    );
    for steps in [50, 500, 2000] {
        let texts = [equipment(CONDITIONS), procedure("main", &straight(steps, CONDITIONS))];
        let ours = prove(&texts);
        let program = program_over(&texts);
        let (spin, gcc) = (spin(&promela(steps)), with_gcc(&promela(steps)));
        let times = |spin: &Option<Spin>, ours| {
            spin.as_ref().map_or("–".to_owned(), |spin| ratio(spin.whole(), ours))
        };
        let theirs = |ours| format!("{}, {}", times(&spin, ours), times(&gcc, ours));
        row(&[
            steps.to_string(),
            time(ours.whole),
            time(ours.proved),
            time(program),
            spin.as_ref().map_or("–".to_owned(), |spin| {
                format!(
                    "{} ({} + {} + {})",
                    time(spin.whole()),
                    time(spin.translate),
                    time(spin.compile),
                    time(spin.search)
                )
            }),
            gcc.as_ref().map_or("–".to_owned(), |spin| time(spin.whole())),
            theirs(ours.whole),
            theirs(ours.compiled + ours.proved),
            theirs(program),
            verdict(&ours.proof),
        ]);
    }
}

/// The value of a condition before a step that changes it, and after.
fn values(step: usize, conditions: usize) -> (&'static str, &'static str) {
    if (step / conditions).is_multiple_of(2) { ("off", "on") } else { ("on", "off") }
}

/// All conditions start off; step by step each is changed to and fro.
pub(crate) fn straight(steps: usize, conditions: usize) -> String {
    let all: Vec<String> = (0..conditions).map(|at| format!("c{at}: off")).collect();
    let mut text = format!("requires: {{ {} }}\nsteps:\n", all.join(", "));
    for step in 0..steps {
        let at = step % conditions;
        let (before, after) = values(step, conditions);
        let _ = writeln!(
            text,
            "  - id: s{step}\n    do: Turn it.\n    requires: {{ c{at}: {before} }}\n    leaves: {{ c{at}: {after} }}"
        );
    }
    text
}

fn promela(steps: usize) -> String {
    let mut text = String::new();
    for at in 0..CONDITIONS {
        let _ = writeln!(text, "bit c{at};");
    }
    text += "active proctype main() {\n";
    for step in 0..steps {
        let at = step % CONDITIONS;
        let before = step / CONDITIONS % 2;
        let _ = writeln!(text, "  atomic {{ assert(c{at} == {before}); c{at} = {} }};", 1 - before);
    }
    text + "}\n"
}
