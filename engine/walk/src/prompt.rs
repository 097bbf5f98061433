//! What is asked now, as data: a terminal or a page lays it out.

use crate::advance;
use crate::reading::Reading;
use crate::stage::{Because, Stage};
use crate::state::Walk;
use crate::status::Status;
use crate::ticks::Tick;
use crate::timers;
use calc::quantity::Range;
use document::model::{Equipment, Figure, Kind, Name};
use machine::Conjunct;

/// A question with what a yes would show.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Question {
    /// The question in the equipment's words.
    pub text: String,
    /// Why it is asked.
    pub because: Because,
}

/// A timer as a person sees it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Timer {
    /// How long it runs, in milliseconds.
    pub millis: u64,
    /// When it was started, in milliseconds since 1970; `None` if it is not.
    pub since_ms: Option<i64>,
    /// What else must have come, asked once the time is over.
    pub until: Option<String>,
    /// The longest wait for that, in milliseconds.
    pub limit: Option<u64>,
}

/// What is asked now.
#[derive(Clone, Debug)]
pub enum Prompt {
    /// Which variant the machine is.
    Variant {
        /// What people call it.
        label: String,
        /// Its values.
        values: Vec<String>,
    },
    /// Yes or no.
    Look(Question),
    /// Yes or no to all of these together, before step 1.
    Normals(Vec<String>),
    /// A condition that lapsed and can only be waited for again.
    Settle {
        /// The condition with the value it settles to.
        condition: String,
        /// The wait for it.
        timer: Timer,
    },
    /// An act.
    Act,
    /// The next fastener of a group.
    Fasten(Tick),
    /// A second person's signature: to release a hold point, or to verify what was done.
    Sign {
        /// The role.
        role: String,
        /// What that person makes sure of; none for a verification.
        check: Option<String>,
    },
    /// A reading, or before step 1 a figure of the product's label.
    Reading(Reading),
    /// A question with its answers.
    Answer {
        /// The question.
        question: String,
        /// The answers.
        answers: Vec<String>,
    },
    /// Items of which one is to be chosen.
    Item(Vec<String>),
    /// A wait.
    Wait(Timer),
    /// The walk is paused.
    Paused,
    /// The walk has ended.
    Ended(Status),
}

impl Walk {
    /// What is asked now.
    #[must_use]
    pub fn prompt(&self) -> Prompt {
        match self.stage() {
            Stage::Ended(ending) => Prompt::Ended(ending.status()),
            Stage::Paused => Prompt::Paused,
            Stage::Variant(due) => {
                let var = self.machine.layout.var(due);
                Prompt::Variant { label: var.label.clone(), values: var.values.clone() }
            }
            Stage::Label(reading) => Prompt::Reading(reading),
            Stage::Gate { due, because, .. } => Prompt::Look(Question { text: self.question(due), because }),
            Stage::Settle { due, millis, clock, .. } => {
                let timer = Timer { millis, since_ms: clock.since_ms(), until: None, limit: None };
                Prompt::Settle { condition: self.fact(due), timer }
            }
            Stage::Normals => Prompt::Normals(self.normals_due.iter().map(|&due| self.fact(due)).collect()),
            Stage::TicksDoubted => {
                Prompt::Look(Question { text: self.ticks_question(), because: Because::Lapsed })
            }
            Stage::Verification(_) => {
                let role = self.step().and_then(|step| step.common.verified_by.as_ref());
                Prompt::Sign { role: role.map(|role| role.words()).unwrap_or_default(), check: None }
            }
            Stage::Fasten(tick) => Prompt::Fasten(tick),
            Stage::Act | Stage::Stuck => Prompt::Act,
            Stage::Hold => self.hold_prompt(),
            Stage::Measure { attempt, attempts } => self.reading_prompt(attempt, attempts),
            Stage::Ask => self.answer_prompt(),
            Stage::Item => {
                Prompt::Item(advance::open_items(self).into_iter().map(|(_, path)| path).collect())
            }
            Stage::Wait { millis, clock, until } => Prompt::Wait(Timer {
                millis,
                since_ms: clock.since_ms(),
                until: until.map(|conjunct| self.question(conjunct)),
                limit: timers::limit(self),
            }),
            Stage::Look(conjunct) => {
                Prompt::Look(Question { text: self.question(conjunct), because: Because::Step })
            }
        }
    }

    fn hold_prompt(&self) -> Prompt {
        match self.step().map(|step| &step.kind) {
            Some(Kind::Hold(hold)) => {
                Prompt::Sign { role: hold.released_by.words(), check: Some(self.filled(&hold.check)) }
            }
            _ => Prompt::Act,
        }
    }

    fn reading_prompt(&self, attempt: u32, attempts: u32) -> Prompt {
        let Some(Kind::Measure(measure)) = self.step().map(|step| &step.kind) else {
            return Prompt::Act;
        };
        let instrument = self.instrument(measure);
        let label = instrument.and_then(|instrument| instrument.label.clone());
        let range = self.acceptance(measure).ok().map(|(range, _)| range);
        Prompt::Reading(Reading {
            what: self.filled(&measure.what),
            instrument: label.unwrap_or_else(|| measure.instrument.words()),
            unit: instrument.map(|instrument| instrument.unit.text().to_owned()).unwrap_or_default(),
            accepted: range.as_ref().map(|range| self.shown(range)),
            range,
            attempt,
            attempts,
        })
    }

    fn answer_prompt(&self) -> Prompt {
        let Some(Kind::Ask(question)) = self.step().map(|step| &step.kind) else { return Prompt::Act };
        Prompt::Answer {
            question: self.filled(&question.text),
            answers: question.answers.keys().cloned().collect(),
        }
    }

    fn question(&self, conjunct: Conjunct) -> String {
        let layout = &self.machine.layout;
        let values = self.values(conjunct);
        let name = &layout.var(conjunct.var).name;
        self.equipment().map(|equipment| equipment.question(name, &values)).unwrap_or_default()
    }

    /// The values of a conjunct as authored.
    pub(crate) fn values(&self, conjunct: Conjunct) -> Vec<String> {
        self.machine.layout.words_of(conjunct.var, conjunct.set).into_iter().map(str::to_owned).collect()
    }

    /// A text of the procedure with its figures for this machine.
    fn filled(&self, text: &str) -> String {
        document::filled(text, |amount| {
            let figure = self.figure(&Figure::Amount(Name::from(amount))).ok().flatten()?;
            Some(self.equipment()?.system().show(&figure))
        })
    }

    /// A range in the units that the equipment asks for.
    pub(crate) fn shown(&self, range: &Range) -> String {
        range.show(self.equipment().map(Equipment::system).unwrap_or_default())
    }

    fn fact(&self, conjunct: Conjunct) -> String {
        let layout = &self.machine.layout;
        let values = layout.words_of(conjunct.var, conjunct.set).join(" or ");
        format!("{} {values}", layout.var(conjunct.var).label)
    }
}
