//! Stopping work: the computed way to the state in which the machine may be left.

use calc::quantity::Duration;
use proof::{Leaving, PlanMove, Planner};
use std::fmt::Write as _;
use walk::Walk;

/// What to do before leaving the machine, from everything it may be like now. Empty where the equipment states no such
/// state.
pub(super) fn before_leaving(walk: &Walk) -> String {
    let Some(mut planner) = Planner::new(walk.machine()) else { return String::new() };
    // Boxes that lead to the same way are told once.
    let mut ways: Vec<Leaving> = Vec::new();
    for state in walk.states() {
        let way = planner.leave(state);
        if !ways.contains(&way) {
            ways.push(way);
        }
    }
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
                let _ = writeln!(text, "{indent}{number}. {}", words(walk, *step));
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

fn words(walk: &Walk, step: PlanMove) -> String {
    match step {
        PlanMove::Act(action) => {
            let name = &walk.machine().restoring[action].name;
            let authored = walk.equipment().and_then(|equipment| equipment.actions.get(name));
            authored.map_or_else(|| name.words(), |action| action.act.clone())
        }
        PlanMove::Wait(millis) => format!("Wait {}.", Duration::from_millis(millis)),
    }
}
