//! Leaving a machine after a stop: the computed way, act by act.

use document::model::Equipment;
use machine::{Machine, VarId};
use proof::{Course, Leaving, PlanStep, Planner, Universal};
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
        /// By what a person tells them, where the equipment says so.
        told_by: Vec<ToldBy>,
    },
    /// By the record nothing is left to do.
    Nothing,
    /// No way is known.
    Stuck,
    /// The machine cannot be brought to rest from here: what is to be done instead.
    Cannot {
        /// In words.
        words: String,
    },
}

/// A value of a condition, and the question whose yes shows it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct ToldBy {
    /// The value.
    pub value: String,
    /// The question.
    pub question: String,
}

/// A way to leave the machine, in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Way {
    /// It may be left as it is, once it was looked at: the looks, a sentence each.
    AsItIs(Vec<String>),
    /// These acts, waits and looks, in order: a sentence each, and how deep it stands under the looks that lead to it.
    Steps(Vec<(usize, String)>),
    /// No way is known.
    Unknown,
}

impl Way {
    /// The words of a way that was planned.
    #[must_use]
    pub fn new(machine: &Machine, equipment: Option<&Equipment>, leaving: &Leaving) -> Self {
        let mut lines = Vec::new();
        match leaving {
            Leaving::Plan { moves, looks } if moves.is_empty() => {
                let words = |look: &PlanStep| check::plan_step_words(machine, equipment, look);
                Self::AsItIs(looks.iter().map(words).collect())
            }
            Leaving::Plan { moves, looks } => {
                write_steps(machine, equipment, moves, 0, &mut lines);
                lines.extend(looks.iter().map(|look| (0, check::plan_step_words(machine, equipment, look))));
                Self::Steps(lines)
            }
            Leaving::Stuck(_) | Leaving::Unknown => Self::Unknown,
        }
    }

    /// The plan for the whole equipment in words, with what is done where a look says that an act did not do what it should.
    #[must_use]
    pub fn universal(machine: &Machine, equipment: Option<&Equipment>, universal: &Universal) -> Self {
        match universal {
            Universal::Plan(steps) => {
                let mut lines = Vec::new();
                write_steps(machine, equipment, steps, 0, &mut lines);
                Self::Steps(lines)
            }
            Universal::Impossible(_) | Universal::Unknown => Self::Unknown,
        }
    }

    /// The way as it is laid before a person.
    fn lines(&self) -> Vec<WayLine> {
        match self {
            Self::AsItIs(looks) => {
                std::iter::once(AS_IT_IS).chain(looks.iter().map(String::as_str)).map(WayLine::new).collect()
            }
            Self::Steps(steps) => nested(steps, 0),
            Self::Unknown => vec![WayLine::new(NO_WAY)],
        }
    }
}

/// A line of a way. What is done only if a look shows something stands below the line that says so.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct WayLine {
    /// In words.
    pub words: String,
    /// What is done in that case alone.
    pub then: Vec<WayLine>,
}

impl WayLine {
    fn new(words: &str) -> Self {
        Self { words: words.to_owned(), then: Vec::new() }
    }
}

/// The lines that stand so deep, each with what stands below it.
fn nested(mut steps: &[(usize, String)], depth: usize) -> Vec<WayLine> {
    let mut lines = Vec::new();
    while let Some(((_, words), rest)) = steps.split_first() {
        let below = rest.iter().take_while(|(deep, _)| *deep > depth).count();
        lines.push(WayLine { then: nested(&rest[..below], depth + 1), ..WayLine::new(words) });
        steps = &rest[below..];
    }
    lines
}

fn write_steps(
    machine: &Machine,
    equipment: Option<&Equipment>,
    steps: &[PlanStep],
    depth: usize,
    lines: &mut Vec<(usize, String)>,
) {
    for step in steps {
        lines.push((depth, check::plan_step_words(machine, equipment, step)));
        match step {
            PlanStep::Look { var, ways } => {
                let label = &machine.layout.var(*var).label;
                for (values, way) in ways.iter().filter(|(_, way)| !way.is_empty()) {
                    let values = named(machine, *var, *values).join(" or ");
                    lines.push((depth, format!("If the {label} is {values}:")));
                    write_steps(machine, equipment, way, depth + 1, lines);
                }
            }
            PlanStep::Again { var, failed, .. } => {
                lines.push((depth, format!("If the {} is not:", machine.layout.var(*var).label)));
                write_steps(machine, equipment, failed, depth + 1, lines);
            }
            PlanStep::Act(_) | PlanStep::Wait { .. } | PlanStep::Universal | PlanStep::Cannot => {}
        }
    }
}

/// Told of a machine at which nothing is left to do.
pub const AS_IT_IS: &str = "By the record the machine may be left as it is.";
/// Told of a machine from which no way is known.
pub const NO_WAY: &str = "No way is known from here: stay with the machine and call for help.";

/// The way from everything the machine may be like, and the plan for the whole equipment. None where the equipment states no
/// state in which it may be left.
fn planned(walk: &Walk) -> Option<(Leaving, Universal)> {
    let mut planner = Planner::new(walk.machine())?;
    Some((planner.leave_any(&walk.possible()), planner.universal().clone()))
}

/// The same in words; none where the equipment states no state in which it may be left.
#[must_use]
pub fn way(walk: &Walk) -> Option<Way> {
    planned(walk).map(|(leaving, _)| Way::new(walk.machine(), walk.equipment(), &leaving))
}

/// What comes next for somebody who looks at a walk in which work was stopped: where they are not at it the way begins anew,
/// unless it was gone to its end.
#[must_use]
pub fn next_for(walk: &Walk, is_there: bool) -> Next {
    let next = next(walk);
    match next {
        Next::Act { .. } | Next::Look { .. } if !is_there => self::next(&walk.as_found()),
        Next::Act { .. } | Next::Look { .. } | Next::Nothing | Next::Stuck | Next::Cannot { .. } => next,
    }
}

/// Where nothing says how the machine may be left, nobody says that it may be left as it is if something must never be.
fn unstated(walk: &Walk) -> Next {
    if walk.machine().rules.is_empty() { Next::Nothing } else { Next::Stuck }
}

/// What comes next, after what was said since the stop or since somebody took it up after that.
#[must_use]
pub fn next(walk: &Walk) -> Next {
    let Some((leaving, universal)) = planned(walk) else { return unstated(walk) };
    let (machine, equipment) = (walk.machine(), walk.equipment());
    let Leaving::Plan { moves, looks } = &leaving else { return Next::Stuck };
    let whole = match &universal {
        Universal::Plan(steps) => &steps[..],
        Universal::Impossible(_) | Universal::Unknown => &[],
    };
    let mut course = Course::new(moves, looks, whole);
    let mut done = 0;
    for event in walk.leaving() {
        match event {
            Event::LeavingLooked { condition, values } => {
                if values.is_empty() {
                    course.untold();
                } else if let Some(var) = machine.layout.find(condition) {
                    let bits = values.iter().filter_map(|value| machine.layout.bit(var, value));
                    course.looked(bits.fold(0, |all, bit| all | bit));
                }
            }
            Event::LeavingDone { .. } => {
                course.done();
                done += 1;
            }
            _ => {}
        }
    }
    match course.here() {
        None => Next::Nothing,
        Some(step @ (PlanStep::Act(_) | PlanStep::Wait { .. })) => {
            let words = |step: &PlanStep| check::plan_step_words(machine, equipment, step);
            let rest: Vec<String> = course.rest().iter().map(words).collect();
            Next::Act {
                act: words(step),
                number: done + 1,
                total: done + 1 + rest.len(),
                wait: if let PlanStep::Wait { millis, .. } = step { Some(*millis) } else { None },
                rest,
            }
        }
        Some(PlanStep::Look { var, ways }) => {
            look(walk, *var, ways.iter().map(|(values, _)| *values).collect())
        }
        Some(PlanStep::Again { var, values, .. }) => {
            look(walk, *var, vec![*values, machine.layout.all(*var) & !values])
        }
        Some(PlanStep::Universal) => Next::Stuck,
        Some(step @ PlanStep::Cannot) => Next::Cannot { words: cannot(machine, equipment, step) },
    }
}

/// That the machine cannot be brought to rest, and who is called.
fn cannot(machine: &Machine, equipment: Option<&Equipment>, step: &PlanStep) -> String {
    let words = check::plan_step_words(machine, equipment, step);
    let role = equipment.and_then(|equipment| equipment.release.as_ref());
    role.map_or_else(
        || format!("{words} Put up a barrier."),
        |role| format!("{words} Put up a barrier. Call the {}.", role.words()),
    )
}

fn look(walk: &Walk, var: VarId, choices: Vec<u64>) -> Next {
    let layout = &walk.machine().layout;
    let known = walk.equipment().and_then(|equipment| equipment.conditions.get(&layout.var(var).name));
    let told_by = |value: &String| {
        let question = known?.question(value)?.to_owned();
        Some(ToldBy { value: value.clone(), question })
    };
    Next::Look {
        condition: layout.var(var).name.to_string(),
        label: layout.var(var).label.clone(),
        choices: choices.into_iter().map(|set| named(walk.machine(), var, set)).collect(),
        told_by: layout.var(var).values.iter().filter_map(told_by).collect(),
    }
}

/// The way from here, for someone who is about to stop: at the walk, or come to it.
#[must_use]
pub fn preview(walk: &Walk, is_there: bool) -> Vec<WayLine> {
    let way = if is_there { way(walk) } else { way(&walk.as_found()) };
    way.unwrap_or_else(
        || if unstated(walk) == Next::Nothing { Way::AsItIs(Vec::new()) } else { Way::Unknown },
    )
    .lines()
}

fn named(machine: &Machine, var: VarId, set: u64) -> Vec<String> {
    machine.layout.words_of(var, set).into_iter().map(str::to_owned).collect()
}
