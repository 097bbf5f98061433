//! Sizes and shapes at which there is nothing to compare with.

use super::documents::{equipment, procedure, prove, verdict};
use super::rows::{row, table, time};
use super::sequence::straight;
use std::fmt::Write;

/// A performed procedure of 1,000 steps; every condition is as before after it.
const PART: usize = 1_000;

/// One procedure that performs another of 1,000 steps so many times.
pub(crate) fn growth() {
    table("Growth, 60 conditions", &["steps", "compiled", "proved", "a step", "verdict"]);
    for times in [1, 10, 100] {
        let conditions = 60;
        // A whole number of changes to and fro, so that each part leaves what it requires.
        let steps = PART - PART % (2 * conditions);
        let part = procedure("part", &straight(steps, conditions));
        let all: Vec<String> = (0..conditions).map(|at| format!("c{at}: off")).collect();
        let mut main = format!("requires: {{ {} }}\nsteps:\n", all.join(", "));
        for at in 0..times {
            let _ = writeln!(main, "  - id: part{at}\n    perform: part");
        }
        let steps = steps * times;
        let ours = prove(&[equipment(conditions), part, procedure("main", &main)]);
        let each = (ours.compiled + ours.proved) / steps as u32;
        row(&[
            steps.to_string(),
            time(ours.compiled),
            time(ours.proved),
            format!("{} ns", each.as_nanos()),
            verdict(&ours.proof),
        ]);
    }
}

/// Shapes of which it is known that they can be hard.
pub(crate) fn worst() {
    table("Worst cases", &["shape", "read, compiled, proved", "sets of states", "verdict"]);
    let shape = |name: String, conditions: usize, steps: String| {
        let ours = prove(&[equipment(conditions), procedure("main", &steps)]);
        row(&[name, time(ours.whole), ours.proof.boxes.to_string(), verdict(&ours.proof)]);
    };
    for branches in [8, 12, 16, 20, 24] {
        shape(format!("{branches} correlated branches, tested later"), 2 * branches, correlated(branches));
    }
    for items in [8, 12, 16] {
        shape(format!("{items} items in any order that share a condition"), items + 1, sharing(items));
    }
    for variables in [12, 20, 60] {
        shape(
            format!("a chain of checks over {variables} conditions, three a check"),
            variables,
            chain(variables),
        );
    }
}

/// A branch sets two conditions the same way; much later the one is looked at where the other is relied on. A look that
/// contradicts the record says nothing of the other: some are refuted, and until then every branch keeps records apart.
fn correlated(branches: usize) -> String {
    let mut text = String::from("steps:\n");
    for at in 0..branches {
        let (a, b) = (2 * at, 2 * at + 1);
        let _ = writeln!(
            text,
            "  - id: ask{at}\n    ask: Which is it?\n    answers: {{ one: on{at}, other: off{at} }}"
        );
        let next = if at + 1 < branches { format!("ask{}", at + 1) } else { "test0".to_owned() };
        let _ = writeln!(
            text,
            "  - id: on{at}\n    do: Turn both on.\n    leaves: {{ c{a}: on, c{b}: on }}\n    then: {next}"
        );
        let _ = writeln!(
            text,
            "  - id: off{at}\n    do: Turn both off.\n    leaves: {{ c{a}: off, c{b}: off }}\n    then: {next}"
        );
    }
    for at in 0..branches {
        let (a, b) = (2 * at, 2 * at + 1);
        let next = if at + 1 < branches { format!("test{}", at + 1) } else { "done".to_owned() };
        let _ = writeln!(text, "  - id: test{at}\n    confirm: {{ c{a}: on }}\n    otherwise: {next}");
        let _ = writeln!(
            text,
            "  - id: use{at}\n    do: Use it.\n    requires: {{ c{b}: on }}\n    then: {next}"
        );
    }
    text
}

/// Every item relies on the condition that all of them set, so that no two are independent.
fn sharing(items: usize) -> String {
    let mut text = format!("requires: {{ c{items}: off }}\nsteps:\n  - id: all\n    any_order:\n");
    for at in 0..items {
        let _ = writeln!(
            text,
            "      - id: i{at}\n        do: Turn it on.\n        requires: {{ c{items}: off }}\n        \
             leaves: {{ c{at}: on, c{items}: off }}"
        );
    }
    let on: Vec<String> = (0..items).map(|at| format!("c{at}: on")).collect();
    text + &format!("  - id: last\n    do: Use it.\n    requires: {{ {} }}\n", on.join(", "))
}

/// Looks at three unknown conditions each, gone on from where one is not so, which puts nothing right: each look doubles the
/// records, since what it ruled out decides which later answer is a surprise. The looks are drawn as the clauses of a random
/// formula, 4.2 for each condition.
fn chain(variables: usize) -> String {
    let mut seed = 7u64;
    let mut next = |end: usize| {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (seed >> 33) as usize % end
    };
    let mut text = String::from("steps:\n");
    let clauses = variables * 42 / 10;
    for at in 0..clauses {
        let mut three: Vec<usize> = Vec::new();
        while three.len() < 3 {
            let one = next(variables);
            if !three.contains(&one) {
                three.push(one);
            }
        }
        // Where all three are so the run stops; otherwise it goes on.
        let terms: Vec<String> =
            three.iter().map(|one| format!("c{one}: {}", if next(2) == 0 { "off" } else { "on" })).collect();
        let go_on = if at + 1 < clauses { format!("k{}", at + 1) } else { "last".to_owned() };
        let _ = writeln!(
            text,
            "  - id: k{at}\n    confirm: {{ {} }}\n    then: stop\n    otherwise: {go_on}",
            terms.join(", ")
        );
    }
    text + "  - id: last\n    do: Use it.\n"
}
