//! Conditions that decide nothing of each other: clocks in any order, plans for stopping, variants.

use super::documents::{Ours, of_each, procedure, prove, restorable, rig, verdict};
use super::rows::{ratio, row, table, time};
use super::spin::{Spin, cell, spin};
use std::fmt::Write;

/// Past this many lines the model of clocks in any order takes SPIN seconds: each is one of four for each line.
const CLOCKS_LIMIT: usize = 9;
/// Steps that turn a valve each.
const TURNS: usize = 200;

pub(crate) fn run() {
    table("Lines charged and waited for in any order", &COLUMNS);
    for lines in [8, 9, 12, 16, 20] {
        let theirs = if lines <= CLOCKS_LIMIT { spin(&clocks(lines)) } else { None };
        beside(lines, &prove(&charged(lines)), theirs.as_ref());
    }
    table("Stopping with valves in any state, one act for each, 200 steps", &COLUMNS);
    for valves in [16, 24, 40, 64] {
        beside(valves, &prove(&turned(valves)), spin(&restored(valves)).as_ref());
    }
    table("Variants of three that each leave a condition", &COLUMNS);
    for variants in [8, 12] {
        beside(variants, &prove(&various(variants)), None);
    }
}

const COLUMNS: [&str; 6] =
    ["", "read, compiled, proved", "sets of states", "SPIN, by an expert", "ratio", "verdict"];

fn beside(size: usize, ours: &Ours, theirs: Option<&Spin>) {
    row(&[
        size.to_string(),
        time(ours.whole),
        ours.proof.boxes.to_string(),
        cell(theirs),
        theirs.map_or("–".to_owned(), |spin| ratio(spin.whole(), ours.whole)),
        verdict(&ours.proof),
    ]);
}

/// Each line has a feed of its own, which must be off while it fades; the last step needs all of them gone.
pub(crate) fn charged(lines: usize) -> Vec<String> {
    let (mut conditions, mut items, mut all) = (String::new(), String::new(), Vec::new());
    for at in 0..lines {
        let _ = writeln!(
            conditions,
            "  f{at}: {{ values: [off, on], ask: \"Is feed {at} off?\" }}\n  l{at}: {{ values: [gone, charged], settles: \
             {{ from: charged, to: gone, after: 45 s, while: {{ f{at}: off }} }} }}"
        );
        let _ = writeln!(items, "      - id: i{at}\n        perform: charge{at}");
        let steps = format!(
            "requires: {{ f{at}: off }}\nsteps:\n  - id: charge\n    do: Charge it.\n    leaves: {{ l{at}: charged }}\n  \
             - id: fade\n    wait: {{ for: 45 s }}\n"
        );
        all.push(procedure(&format!("charge{at}"), &steps));
    }
    let off = of_each(lines, |at| format!("f{at}: off"));
    let gone = of_each(lines, |at| format!("l{at}: gone"));
    let steps = format!(
        "requires: {{ {off} }}\nsteps:\n  - id: all\n    any_order:\n{items}  \
         - id: last\n    do: Use it.\n    requires: {{ {gone} }}\n"
    );
    all.extend([rig(&conditions, ""), procedure("main", &steps)]);
    all
}

/// All waits have one length, so that no time has to be counted: a wait ends for every line that is charged.
fn clocks(lines: usize) -> String {
    let mut text: String = (0..lines).map(|at| format!("bit charged{at};\n")).collect();
    text += "int begun;\nint over;\nactive proctype main() {\n  do\n";
    for at in 0..lines {
        let bit = 1 << at;
        let _ =
            writeln!(text, "  :: atomic {{ !(begun & {bit}) -> begun = begun | {bit}; charged{at} = 1 }}");
        let fade: String = (0..lines).map(|line| format!("charged{line} = 0; ")).collect();
        let _ = writeln!(
            text,
            "  :: atomic {{ (begun & {bit}) && !(over & {bit}) -> d_step {{ {fade} over = over | {bit} }} }}"
        );
    }
    text += &format!("  :: over == {} -> break\n  od;\n", (1u64 << lines) - 1);
    let gone: Vec<String> = (0..lines).map(|at| format!("charged{at} == 0")).collect();
    text + &format!("  assert({})\n}}\n", gone.join(" && "))
}

pub(crate) fn turned(valves: usize) -> Vec<String> {
    let mut steps = "steps:\n".to_owned();
    for step in 0..TURNS {
        let value = if (step / valves).is_multiple_of(2) { "on" } else { "off" };
        let _ = writeln!(
            steps,
            "  - id: s{step}\n    do: Turn the valve.\n    leaves: {{ c{}: {value} }}",
            step % valves
        );
    }
    vec![restorable(valves, ""), procedure("main", &steps)]
}

/// The value 2 is "not known"; acts that restore commute, so that one order of them is followed.
fn restored(valves: usize) -> String {
    let mut text: String = (0..valves).map(|at| format!("byte v{at} = 2;\n")).collect();
    text += "active proctype main() {\n";
    for step in 0..TURNS {
        let value = usize::from((step / valves).is_multiple_of(2));
        let _ = writeln!(text, "  if :: goto stopped :: skip fi;\n  v{} = {value};", step % valves);
    }
    text += "stopped:\n";
    for at in 0..valves {
        let _ = writeln!(
            text,
            "  atomic {{ if :: v{at} == 2 -> if :: v{at} = 0 :: v{at} = 1 fi :: else fi; \
             if :: v{at} == 0 -> skip :: else -> v{at} = 0 fi }};"
        );
    }
    let shut: Vec<String> = (0..valves).map(|at| format!("v{at} == 0")).collect();
    text + &format!("  assert({})\n}}\n", shut.join(" && "))
}

/// Each variant leaves its condition in one of three values, which a later step of the variant needs.
pub(crate) fn various(variants: usize) -> Vec<String> {
    let (mut conditions, mut kinds) = (String::new(), "variants:\n".to_owned());
    let (mut set, mut used) = (String::new(), String::new());
    for at in 0..variants {
        let _ = writeln!(conditions, "  c{at}: {{ values: [v0, v1, v2], ask: \"Is it so?\" }}");
        let _ = writeln!(kinds, "  x{at}: [a, b, c]");
        for (way, value) in [("a", "v0"), ("b", "v1"), ("c", "v2")] {
            let _ = writeln!(
                set,
                "  - id: set{at}{way}\n    only: {{ x{at}: {way} }}\n    do: Set it.\n    leaves: {{ c{at}: {value} }}"
            );
            let _ = writeln!(
                used,
                "  - id: use{at}{way}\n    only: {{ x{at}: {way} }}\n    do: Use it.\n    requires: {{ c{at}: {value} }}"
            );
        }
    }
    vec![rig(&conditions, &kinds), procedure("main", &format!("steps:\n{set}{used}"))]
}
