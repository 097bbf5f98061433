//! Plans for leaving the machine, in lines that a person can follow.

use super::act::ActBox;
use super::pieces::Question;
use super::scope::{Scope, value_words};
use crate::clean::clean_line;
use crate::count::{capital, joined};
use calc::quantity::Duration;
use document::model::Name;
use machine::{Conjunct, Machine, VarId};
use proof::PlanStep;
use serde::Serialize;

/// One line of a plan.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PlanLine {
    /// Under how many answers it stands.
    pub depth: usize,
    /// What it is.
    pub kind: PlanLineKind,
    /// The line.
    pub text: String,
}

/// What a line of a plan is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum PlanLineKind {
    /// Something to do or to look at, with a box to tick.
    Tick,
    /// The answer under which the lines below it stand.
    If,
    /// A warning before an act.
    Warning,
    /// What to wear and take for an act, and who does it.
    Aside,
    /// Where the plan goes on, or ends.
    End,
}

/// Said once, above all plans.
pub(super) const HOW: &str = "Tick each line. Where “Look again” is answered otherwise and no line below it says what then, do the \
    act above it once more and look once more. Answered otherwise again, or where you cannot tell at a look that says what to \
    expect, or for the second time at any look, or where the plan for the whole machine would be begun for the third time: this \
    machine cannot be brought to rest from here.";

/// What is done where a look has just shown what must not be, or by whoever was not at the machine all along: with a plan for the
/// whole machine and without.
pub(super) const FOUND_WHOLE: &str = "Where work stops just after a look was answered otherwise, or after a break, or by somebody who \
    was not at the machine all along, follow the plan for the whole machine.";
pub(super) const FOUND: &str = "Where work stops just after a look was answered otherwise, or after a break, or by somebody who \
    was not at the machine all along, it cannot be brought to rest from here.";

/// The same where what must never be was seen, and something stands below that ends it.
pub(super) const FOUND_BROKEN: &str =
    "But where what must never be was just seen, do first what stands below for it.";

/// Where no act ends it.
pub(super) const WHOLE_AND_CANNOT: &str = "Follow the plan for the whole machine from its beginning. After that, too, this machine \
    cannot be brought to rest: see below.";

/// How the plan for the whole machine ends.
pub(super) const LOOK_AT_EACH: &str = "Then look at each as above.";

/// Where a plan leads to the whole one.
pub(super) const BEGIN_WHOLE: &str = "Follow the plan for the whole machine from its beginning.";

/// Where no act helps.
pub(super) const CANNOT: &str = "this machine cannot be brought to rest from here: see below.";

/// A side of a look: the values, and what is then done.
type Side = (u64, Vec<PlanStep>);

/// Lines that grow.
struct Lines {
    all: Vec<PlanLine>,
    /// What is done where a look shows what the plan did not expect.
    anew: &'static str,
}

impl Lines {
    fn add(&mut self, depth: usize, kind: PlanLineKind, text: impl Into<String>) {
        self.all.push(PlanLine { depth, kind, text: text.into() });
    }
}

impl Scope<'_> {
    /// The lines of a plan.
    /// `anew` is what is done where a look shows what the plan did not expect.
    pub(super) fn plan(
        &mut self,
        machine: &Machine,
        steps: &[PlanStep],
        anew: &'static str,
    ) -> Vec<PlanLine> {
        let mut lines = Lines { anew, all: Vec::new() };
        self.plan_steps(machine, steps, 0, &mut lines);
        lines.all
    }

    fn plan_steps(&mut self, machine: &Machine, steps: &[PlanStep], depth: usize, lines: &mut Lines) {
        for (at, step) in steps.iter().enumerate() {
            match step {
                PlanStep::Act(action) => self.plan_act(&machine.restoring[*action].name, depth, lines),
                PlanStep::Wait { var, millis } => {
                    let settles = machine.settling.iter().find(|settling| settling.var == *var);
                    let to = any_of(machine, *var, settles.map_or(0, |settling| settling.to));
                    let (label, time) = (self.plan_label(machine, *var), Duration::from_millis(*millis));
                    let text = format!("Wait for {time}: then the {label} is sure to be {to}.");
                    lines.add(depth, PlanLineKind::Tick, text);
                }
                PlanStep::Look { var, ways, untold } => {
                    self.plan_look(machine, (*var, ways, *untold), depth, lines);
                }
                PlanStep::Again { var, values, failed } => {
                    let question = self.plan_question(machine, *var, *values);
                    let before = at.checked_sub(1).and_then(|before| steps.get(before));
                    let words = asked(&question);
                    let is_after_act = matches!(before, Some(PlanStep::Act(_)));
                    let again = if is_after_act { "Look again: " } else { "Look: " };
                    lines.add(
                        depth,
                        PlanLineKind::Tick,
                        format!("{again}{words} Expect {}.", answer(&question)),
                    );
                    if !is_once_more(before, *var, *values, failed) {
                        lines.add(depth, PlanLineKind::If, otherwise(&question));
                        self.plan_steps(machine, failed, depth + 1, lines);
                    }
                }
                PlanStep::Universal => lines.add(depth, PlanLineKind::End, BEGIN_WHOLE),
                PlanStep::Cannot => lines.add(depth, PlanLineKind::End, capital(CANNOT)),
            }
        }
    }

    fn plan_look(
        &mut self,
        machine: &Machine,
        (var, ways, untold): (VarId, &[Side], Option<usize>),
        depth: usize,
        lines: &mut Lines,
    ) {
        let known = ways.iter().fold(0, |known, (values, _)| known | values);
        let other = machine.layout.all(var) & !known;
        if other != 0 {
            // The plan did not expect it, and its answers would take it for something else.
            let question = self.plan_question(machine, var, other);
            lines.add(depth, PlanLineKind::Tick, asked(&question));
            lines.add(depth, PlanLineKind::If, format!("If {}:", answer(&question)));
            lines.add(depth + 1, PlanLineKind::End, capital(lines.anew));
        }
        let untold = untold.and_then(|side| ways.get(side));
        // A yes leads on where there is such a side; what is asked for is that side.
        let mut sides: Vec<&Side> = ways.iter().collect();
        sides.sort_by_key(|(_, way)| !way.is_empty());
        if let [(values, yes), (_, no)] = sides[..] {
            let question = self.plan_question(machine, var, *values);
            lines.add(depth, PlanLineKind::Tick, asked(&question));
            if !yes.is_empty() {
                lines.add(depth, PlanLineKind::If, format!("If {}:", answer(&question)));
                self.plan_steps(machine, yes, depth + 1, lines);
            }
            if !no.is_empty() {
                lines.add(depth, PlanLineKind::If, otherwise(&question));
                self.plan_steps(machine, no, depth + 1, lines);
            }
            // What is said above all plans need not be said here.
            match untold {
                Some((_, way)) if way == no => {}
                Some(_) => lines.add(
                    depth,
                    PlanLineKind::If,
                    format!("If you cannot tell: as if {}.", answer(&question)),
                ),
                None => lines.add(depth, PlanLineKind::If, format!("If you cannot tell: {CANNOT}")),
            }
            return;
        }
        let label = self.plan_label(machine, var);
        lines.add(depth, PlanLineKind::Tick, format!("Look at the {label}: which is it?"));
        for (values, way) in ways {
            let values = any_of(machine, var, *values);
            if way.is_empty() {
                lines.add(depth, PlanLineKind::If, format!("If {values}: go on."));
            } else {
                lines.add(depth, PlanLineKind::If, format!("If {values}:"));
                self.plan_steps(machine, way, depth + 1, lines);
            }
        }
        let as_if = |(values, _): &Side| format!("as if {}.", any_of(machine, var, *values));
        let cannot = untold.map_or_else(|| CANNOT.to_owned(), as_if);
        lines.add(depth, PlanLineKind::If, format!("If you cannot tell: {cannot}"));
    }

    /// An act with its warning, what to wear and take, and who does it.
    fn plan_act(&mut self, name: &Name, depth: usize, lines: &mut Lines) {
        let Some(ActBox { warnings, work: _, wear, takes, people, text }) = self.act_box(name) else {
            lines.add(depth, PlanLineKind::Tick, format!("{}.", capital(&name.words())));
            return;
        };
        for warning in warnings {
            let text = format!("{}: {} {}", warning.word.word(), warning.hazard, warning.avoid);
            lines.add(depth, PlanLineKind::Warning, text);
        }
        let mut asides = Vec::new();
        for (what, things) in [("Wear", wear), ("Take", takes)] {
            if !things.is_empty() {
                asides.push(format!("{what}: {}.", things.join("; ")));
            }
        }
        asides.extend(people.into_iter().map(|people| format!("{}.", capital(&people))));
        if !asides.is_empty() {
            lines.add(depth, PlanLineKind::Aside, asides.join(" "));
        }
        let text = text.text();
        lines.add(depth, PlanLineKind::Tick, text.split_whitespace().collect::<Vec<_>>().join(" "));
    }

    fn plan_label(&self, machine: &Machine, var: VarId) -> String {
        clean_line(&machine.layout.var(var).label)
    }

    /// A condition asked for some of its values.
    pub(super) fn plan_question(&self, machine: &Machine, var: VarId, values: u64) -> Question {
        self.question_of(machine, Conjunct { var, set: values }).unwrap_or_else(|| {
            // A variant, or any value at all.
            Question {
                ask: format!("Is the {} {}?", self.plan_label(machine, var), any_of(machine, var, values)),
                answer: "yes",
                choices: Vec::new(),
                hint: None,
            }
        })
    }
}

/// Values of a condition in words.
fn any_of(machine: &Machine, var: VarId, values: u64) -> String {
    let values: Vec<String> = machine.layout.words_of(var, values).into_iter().map(value_words).collect();
    joined(&values, "or")
}

fn asked(question: &Question) -> String {
    let Question { ask, answer: _, choices, hint: _ } = question;
    std::iter::once(ask).chain(choices).map(String::as_str).collect::<Vec<_>>().join(" ")
}

fn answer(question: &Question) -> &'static str {
    question.answer
}

fn otherwise(question: &Question) -> String {
    let none = !question.choices.is_empty();
    format!(
        "If {}:",
        if none {
            "none is"
        } else if question.answer == "yes" {
            "no"
        } else {
            "yes"
        }
    )
}

/// Whether what is done where a look says otherwise is what [`HOW`] says: the act once more, a look, and then the end.
fn is_once_more(before: Option<&PlanStep>, var: VarId, values: u64, failed: &[PlanStep]) -> bool {
    let (
        Some(PlanStep::Act(act)),
        [PlanStep::Act(again), PlanStep::Again { var: of, values: asked, failed }],
    ) = (before, failed)
    else {
        return false;
    };
    act == again && *of == var && *asked == values && matches!(failed[..], [PlanStep::Cannot])
}
