//! Conditions that nobody knows at the start, and work in any order.

use super::documents::{equipment, procedure, prove, verdict};
use super::rows::{ratio, row, table, time};
use super::spin::{Spin, cell, spin};
use std::fmt::Write;

/// Past this many unknown conditions the natural model takes SPIN minutes and gigabytes.
const NATURAL_LIMIT: usize = 20;

const COLUMNS: [&str; 7] = [
    "",
    "read, compiled, proved",
    "of it proving",
    "SPIN, naturally written",
    "SPIN, by an expert",
    "ratios",
    "verdict",
];

pub(crate) fn run() {
    table("Unknown conditions, each looked at and put right", &COLUMNS);
    for unknown in [4, 8, 12, 16, 20, 24, 40, 60] {
        let ours = prove(&[equipment(unknown), procedure("main", &put_right(unknown))]);
        let natural = if unknown <= NATURAL_LIMIT { spin(&natural(unknown)) } else { None };
        let expert = if unknown <= 24 { spin(&expert(unknown)) } else { None };
        beside(unknown, &ours, natural.as_ref(), expert.as_ref());
    }
}

pub(crate) fn any_order() {
    table("Independent items in any order", &COLUMNS);
    for items in [4, 8, 12, 16] {
        let ours = prove(&[equipment(items), procedure("main", &group(items))]);
        beside(items, &ours, spin(&masked(items)).as_ref(), spin(&processes(items)).as_ref());
    }
}

fn beside(size: usize, ours: &super::documents::Ours, natural: Option<&Spin>, expert: Option<&Spin>) {
    let times = |spin: Option<&Spin>| spin.map_or("–".to_owned(), |spin| ratio(spin.whole(), ours.whole));
    row(&[
        size.to_string(),
        time(ours.whole),
        time(ours.proved),
        cell(natural),
        cell(expert),
        format!("{}, {}", times(natural), times(expert)),
        verdict(&ours.proof),
    ]);
}

/// Looks at each condition, puts right what is not, and at the end relies on all.
fn put_right(unknown: usize) -> String {
    let mut text = String::from("steps:\n");
    for at in 0..unknown {
        let next = if at + 1 < unknown { format!("look{}", at + 1) } else { "last".to_owned() };
        let _ = writeln!(
            text,
            "  - id: look{at}\n    confirm: {{ c{at}: off }}\n    then: {next}\n    otherwise: right{at}"
        );
        let _ = writeln!(text, "  - id: right{at}\n    do: Turn it off.\n    leaves: {{ c{at}: off }}");
    }
    let all: Vec<String> = (0..unknown).map(|at| format!("c{at}: off")).collect();
    text + &format!("  - id: last\n    do: Use it.\n    requires: {{ {} }}\n", all.join(", "))
}

fn natural(unknown: usize) -> String {
    let mut text = declared(unknown);
    text += "active proctype main() {\n";
    for at in 0..unknown {
        let _ = writeln!(text, "  if :: c{at} = 0 :: c{at} = 1 fi;");
    }
    for at in 0..unknown {
        let _ = writeln!(text, "  if :: c{at} == 0 -> skip :: else -> c{at} = 0 fi;");
    }
    text + &relied_on(unknown) + "}\n"
}

/// The value 2 is "not known": a condition gets its value when it is first looked at.
fn expert(unknown: usize) -> String {
    let mut text = declared(unknown).replace("bit", "byte");
    text += "active proctype main() {\n";
    for at in 0..unknown {
        let _ = writeln!(text, "  c{at} = 2;");
    }
    for at in 0..unknown {
        let _ = writeln!(
            text,
            "  atomic {{ if :: c{at} == 2 -> if :: c{at} = 0 :: c{at} = 1 fi :: else fi; \
             if :: c{at} == 0 -> skip :: else -> c{at} = 0 fi }};"
        );
    }
    text + &relied_on(unknown) + "}\n"
}

pub(crate) fn group(items: usize) -> String {
    let off: Vec<String> = (0..items).map(|at| format!("c{at}: off")).collect();
    let on: Vec<String> = (0..items).map(|at| format!("c{at}: on")).collect();
    let mut text = format!("requires: {{ {} }}\nsteps:\n  - id: all\n    any_order:\n", off.join(", "));
    for at in 0..items {
        let _ = writeln!(
            text,
            "      - id: i{at}\n        do: Turn it on.\n        requires: {{ c{at}: off }}\n        leaves: {{ c{at}: on }}"
        );
    }
    text + &format!("  - id: last\n    do: Use it.\n    requires: {{ {} }}\n", on.join(", "))
}

/// One process that chooses among the items not yet done.
fn masked(items: usize) -> String {
    let mut text = declared(items);
    text += "int m;\nactive proctype main() {\n  do\n";
    for at in 0..items {
        let _ = writeln!(
            text,
            "  :: atomic {{ !(m & {bit}) -> assert(c{at} == 0); c{at} = 1; m = m | {bit} }}",
            bit = 1 << at
        );
    }
    text += &format!("  :: m == {} -> break\n  od;\n", (1u64 << items) - 1);
    for at in 0..items {
        let _ = writeln!(text, "  assert(c{at} == 1);");
    }
    text + "}\n"
}

/// A process an item, each with a condition of its own: what partial-order reduction likes best.
fn processes(items: usize) -> String {
    let mut text = String::new();
    for at in 0..items {
        let _ = writeln!(text, "active proctype p{at}() {{ bit c; assert(c == 0); c = 1; assert(c == 1) }}");
    }
    text
}

fn declared(conditions: usize) -> String {
    (0..conditions).map(|at| format!("bit c{at};\n")).collect()
}

fn relied_on(conditions: usize) -> String {
    let all: Vec<String> = (0..conditions).map(|at| format!("c{at} == 0")).collect();
    format!("  assert({});\n", all.join(" && "))
}
