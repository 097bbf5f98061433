//! Leaving a machine after a stop: the computed way, act by act.

use document::model::Equipment;
use machine::{Machine, VarId};
use proof::{Leaving, PlanMove, Planner};
use serde::Serialize;
use walk::{Event, Walk};

/// What is to be done next before the machine is left.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
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

/// A way to leave the machine, in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Way {
    /// It may be left as it is.
    AsItIs,
    /// These acts and waits, in order, a sentence each.
    Acts(Vec<String>),
    /// A condition is looked at first.
    Look {
        /// What people call it.
        label: String,
        /// Its values, each with the way that fits.
        branches: Vec<(String, Way)>,
    },
    /// No way is known.
    Unknown,
}

impl Way {
    /// The words of a way that was planned.
    #[must_use]
    pub fn new(machine: &Machine, equipment: Option<&Equipment>, leaving: &Leaving) -> Self {
        match leaving {
            Leaving::Plan(moves) if moves.is_empty() => Self::AsItIs,
            Leaving::Plan(moves) => {
                Self::Acts(moves.iter().map(|&step| check::move_words(machine, equipment, step)).collect())
            }
            Leaving::Look(var, branches) => {
                let way = |(set, way): &(u64, Leaving)| {
                    (named(machine, *var, *set).join(" or "), Self::new(machine, equipment, way))
                };
                let label = machine.layout.var(*var).label.clone();
                Self::Look { label, branches: branches.iter().map(way).collect() }
            }
            Leaving::Stuck(_) | Leaving::Unknown => Self::Unknown,
        }
    }

    /// The way in lines; what has to be looked at first stands before each of its ways.
    fn lines(&self) -> Vec<String> {
        match self {
            Self::AsItIs => vec![AS_IT_IS.to_owned()],
            Self::Acts(acts) => acts.clone(),
            Self::Look { label, branches } => branches
                .iter()
                .map(|(value, way)| format!("If the {label} is {value}: {}", way.lines().join(" ")))
                .collect(),
            Self::Unknown => vec![NO_WAY.to_owned()],
        }
    }

    /// Each way in one line, as the review shows it beside every step; what has to be looked at first stands before it. With
    /// each, whether a way is known at all.
    #[must_use]
    pub fn one_line_each(&self) -> Vec<(String, bool)> {
        match self {
            Self::AsItIs => vec![("Leave it as it is.".to_owned(), true)],
            Self::Acts(acts) => vec![(acts.join(" "), true)],
            Self::Look { label, branches } => {
                let each = branches.iter().flat_map(|(value, way)| {
                    let inner = way.one_line_each().into_iter();
                    inner.map(move |(words, is_known)| {
                        (format!("If the {label} is {value}: {words}"), is_known)
                    })
                });
                each.collect()
            }
            Self::Unknown => vec![("No way is known.".to_owned(), false)],
        }
    }
}

/// Told of a machine at which nothing is left to do.
pub const AS_IT_IS: &str = "By the record the machine may be left as it is.";
/// Told of a machine from which no way is known.
pub const NO_WAY: &str = "No way is known from here: stay with the machine and call for help.";

/// The ways from everything the machine may be like; one, where a look tells which fits. None where the equipment states
/// no state in which it may be left.
fn planned(walk: &Walk) -> Option<Vec<Leaving>> {
    Some(Planner::new(walk.machine())?.ways(&walk.possible()))
}

/// The same; nothing is to be done where no state is stated.
fn planned_or_nothing(walk: &Walk) -> Vec<Leaving> {
    planned(walk).unwrap_or_else(|| vec![Leaving::Plan(Vec::new())])
}

/// The same in words; none where the equipment states no state in which it may be left.
#[must_use]
pub fn ways(walk: &Walk) -> Vec<Way> {
    let ways = planned(walk).unwrap_or_default();
    ways.iter().map(|way| Way::new(walk.machine(), walk.equipment(), way)).collect()
}

/// What comes next, after what was said since the stop.
#[must_use]
pub fn next(walk: &Walk) -> Next {
    let ways = planned_or_nothing(walk);
    let (machine, equipment) = (walk.machine(), walk.equipment());
    let [way] = &ways[..] else {
        if walk.leaving().is_empty() {
            return Next::Several {
                ways: ways.iter().map(|way| Way::new(machine, equipment, way).lines()).collect(),
            };
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
    let way = |way: &Leaving| Way::new(walk.machine(), walk.equipment(), way).lines();
    planned_or_nothing(walk).iter().map(way).collect()
}

fn named(machine: &Machine, var: VarId, set: u64) -> Vec<String> {
    machine.layout.words_of(var, set).into_iter().map(str::to_owned).collect()
}
