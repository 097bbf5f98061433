//! Leaving a machine after a stop: the computed way, act by act.

use document::model::Equipment;
use machine::{Machine, VarId};
use proof::{Leaving, PlanMove, Planner};
use serde::Serialize;
use walk::{Event, Walk};

/// What is to be done next before the machine is left.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(tag = "is", rename_all = "kebab-case")]
pub enum Next {
    /// An act, or a wait.
    Act {
        /// In words.
        act: String,
        /// Which it is, from 1.
        number: usize,
        /// Of how many.
        total: usize,
        /// How long to wait, in milliseconds; none for an act.
        wait: Option<u64>,
        /// What comes after it.
        rest: Vec<String>,
    },
    /// A condition to be looked at, with the values it may have.
    Look {
        /// Its name.
        condition: String,
        /// What people call it.
        label: String,
        /// The values, each group a choice.
        choices: Vec<Vec<String>>,
    },
    /// By the record nothing is left to do.
    Nothing,
    /// There are several ways, by what cannot be known from the record: each as its lines.
    Several {
        /// The ways.
        ways: Vec<Vec<String>>,
    },
    /// No way is known.
    Stuck,
}

/// The ways from everything the machine may be like; one, where a look tells which fits.
fn ways(walk: &Walk) -> Vec<Leaving> {
    Planner::new(walk.machine())
        .map_or_else(|| vec![Leaving::Plan(Vec::new())], |mut planner| planner.ways(&walk.possible()))
}

/// What comes next, after what was said since the stop.
#[must_use]
pub fn next(walk: &Walk) -> Next {
    let ways = ways(walk);
    let (machine, equipment) = (walk.machine(), walk.equipment());
    let [way] = &ways[..] else {
        if walk.leaving().is_empty() {
            return Next::Several { ways: ways.iter().map(|way| lines(machine, equipment, way)).collect() };
        }
        return Next::Nothing;
    };
    let mut way = way;
    let mut done = 0;
    for event in walk.leaving() {
        match (event, way) {
            (Event::LeavingLooked { values, .. }, Leaving::Look(var, branches)) => {
                let chosen = branches.iter().find(|(set, _)| named(machine, *var, *set) == *values);
                if let Some((_, chosen)) = chosen {
                    way = chosen;
                }
            }
            (Event::LeavingDone { .. }, Leaving::Plan(_)) => done += 1,
            _ => {}
        }
    }
    match way {
        Leaving::Plan(moves) => match moves.get(done) {
            None => Next::Nothing,
            Some(&step) => Next::Act {
                act: check::move_words(machine, equipment, step),
                number: done + 1,
                total: moves.len(),
                wait: if let PlanMove::Wait(millis) = step { Some(millis) } else { None },
                rest: moves[done + 1..]
                    .iter()
                    .map(|&step| check::move_words(machine, equipment, step))
                    .collect(),
            },
        },
        Leaving::Look(var, branches) => Next::Look {
            condition: machine.layout.var(*var).name.to_string(),
            label: machine.layout.var(*var).label.clone(),
            choices: branches.iter().map(|(set, _)| named(machine, *var, *set)).collect(),
        },
        Leaving::Stuck(_) | Leaving::Unknown => Next::Stuck,
    }
}

/// The way from here in lines, for someone who is about to stop.
#[must_use]
pub fn preview(walk: &Walk) -> Vec<Vec<String>> {
    ways(walk).iter().map(|way| lines(walk.machine(), walk.equipment(), way)).collect()
}

fn lines(machine: &Machine, equipment: Option<&Equipment>, way: &Leaving) -> Vec<String> {
    match way {
        Leaving::Plan(moves) if moves.is_empty() => {
            vec!["By the record the machine may be left as it is.".to_owned()]
        }
        Leaving::Plan(moves) => {
            moves.iter().map(|&step| check::move_words(machine, equipment, step)).collect()
        }
        Leaving::Look(var, branches) => {
            let label = &machine.layout.var(*var).label;
            let each = branches.iter().map(|(set, way)| {
                let values = named(machine, *var, *set).join(" or ");
                format!("If the {label} is {values}: {}", lines(machine, equipment, way).join(" "))
            });
            each.collect()
        }
        Leaving::Stuck(_) | Leaving::Unknown => {
            vec!["No way is known from here: stay with the machine and call for help.".to_owned()]
        }
    }
}

fn named(machine: &Machine, var: VarId, set: u64) -> Vec<String> {
    machine.layout.words_of(var, set).into_iter().map(str::to_owned).collect()
}
