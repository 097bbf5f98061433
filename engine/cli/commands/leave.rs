//! Stopping work: the computed way to the state in which the machine may be left.

use ::check::{Report, move_words};
use document::model::{Equipment, Name};
use machine::{Machine, step_number};
use proof::{Leaving, Planner};
use review::pages::WayOut;
use std::collections::BTreeMap;
use std::fmt::Write as _;
use walk::Walk;

/// What to do before leaving the machine, from everything it may be like now. Empty where the equipment states no such
/// state.
pub(super) fn before_leaving(walk: &Walk) -> String {
    let Some(mut planner) = Planner::new(walk.machine()) else { return String::new() };
    let ways = planner.ways(&walk.possible());
    let mut text = String::new();
    match &ways[..] {
        [way] => tell(walk, way, 1, &mut text),
        _ => {
            for (number, way) in (1..).zip(&ways) {
                let _ = writeln!(text, "Way {number} of {}, if it can be done:", ways.len());
                tell(walk, way, 1, &mut text);
            }
        }
    }
    text
}

fn tell(walk: &Walk, way: &Leaving, depth: usize, text: &mut String) {
    let indent = "  ".repeat(depth);
    match way {
        Leaving::Plan(moves) if moves.is_empty() => {
            let _ = writeln!(text, "{indent}By the record the machine may be left as it is.");
        }
        Leaving::Plan(moves) => {
            for (number, step) in (1..).zip(moves) {
                let words = move_words(walk.machine(), walk.equipment(), *step);
                let _ = writeln!(text, "{indent}{number}. {words}");
            }
        }
        Leaving::Look(var, ways) => {
            let layout = &walk.machine().layout;
            for (value, way) in ways {
                let values = layout.words_of(*var, *value).join(" or ");
                let _ = writeln!(text, "{indent}If the {} is {values}:", layout.var(*var).label);
                tell(walk, way, depth + 1, text);
            }
        }
        Leaving::Stuck(_) | Leaving::Unknown => {
            let _ =
                writeln!(text, "{indent}No way is known from here: stay with the machine and call for help.");
        }
    }
}

/// How the machine can be left from each step of the procedure itself, by the step's number; nothing for a procedure of
/// which nothing is proved.
pub(crate) fn from_each_step(report: &Report, name: &Name) -> BTreeMap<String, Vec<WayOut>> {
    let mut stops: BTreeMap<String, Vec<WayOut>> = BTreeMap::new();
    let checked = report.procedures.iter().find(|checked| checked.procedure == *name);
    let proved = checked.and_then(|checked| checked.machine.as_ref().zip(checked.proof.as_ref()));
    let equipment = report.library.procedures.get(name).map(|document| &document.model.equipment);
    let equipment = equipment.and_then(|equipment| report.library.equipment.get(equipment));
    let Some(((machine, proof), equipment)) = proved.zip(equipment) else { return stops };
    for (id, leavings) in &proof.leaving {
        let node = machine.node(*id);
        if node.procedure != machine.procedure {
            continue;
        }
        let ways = stops.entry(step_number(&node.pointer)).or_default();
        for way in leavings.iter().flat_map(|leaving| sentences(machine, &equipment.model, leaving)) {
            if !ways.contains(&way) {
                ways.push(way);
            }
        }
    }
    for ways in stops.values_mut() {
        ways.sort();
    }
    stops
}

/// Each way in one line; what has to be looked at first stands before it.
fn sentences(machine: &Machine, equipment: &Equipment, leaving: &Leaving) -> Vec<WayOut> {
    let one = |words: String, is_known| vec![WayOut { words, is_known }];
    match leaving {
        Leaving::Plan(moves) if moves.is_empty() => one("Leave it as it is.".to_owned(), true),
        Leaving::Plan(moves) => {
            let words: Vec<String> =
                moves.iter().map(|step| move_words(machine, Some(equipment), *step)).collect();
            one(words.join(" "), true)
        }
        Leaving::Look(var, ways) => {
            let label = &machine.layout.var(*var).label;
            let each = ways.iter().flat_map(|(value, way)| {
                let value = machine.layout.words_of(*var, *value).join(" or ");
                let inner = sentences(machine, equipment, way);
                inner.into_iter().map(move |way| WayOut {
                    words: format!("If the {label} is {value}: {}", way.words),
                    is_known: way.is_known,
                })
            });
            each.collect()
        }
        Leaving::Stuck(_) | Leaving::Unknown => one("No way is known.".to_owned(), false),
    }
}
