//! What is asked now, as data: a terminal or a page lays it out.

use crate::advance;
use crate::fasten::Tick;
use crate::state::{Status, Walk};
use crate::waits;
use calc::quantity::Range;
use document::model::{Equipment, Figure, Kind};
use machine::{Conjunct, NodeKind};

/// A question with what a yes would show.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Question {
    /// The question in the equipment's words.
    pub text: String,
    /// Why it is asked.
    pub because: Because,
}

/// Why a question is asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Because {
    /// It must be so before step 1.
    BeforeStart,
    /// It was confirmed before, but an interruption or a handover came between.
    Lapsed,
    /// The step, or the end, relies on it.
    ReliedOn,
    /// The step is to look at it.
    Step,
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

/// A reading that is due.
#[derive(Clone, Debug)]
pub struct Reading {
    /// What is measured.
    pub what: String,
    /// With which instrument.
    pub instrument: String,
    /// Unit of the instrument.
    pub unit: String,
    /// What is accepted.
    pub range: Option<Range>,
    /// The same in words, in the units that the equipment asks for.
    pub accepted: Option<String>,
    /// Which attempt, from 1.
    pub attempt: u32,
    /// How many there are.
    pub attempts: u32,
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
        let status = self.status();
        if status.is_ended() {
            return Prompt::Ended(status);
        }
        if self.paused {
            return Prompt::Paused;
        }
        let layout = &self.machine.layout;
        if let Some(&due) = self.variants_due.first() {
            let var = layout.var(due);
            return Prompt::Variant { label: var.label.clone(), values: var.values.clone() };
        }
        if let Some(label) = self.label_due() {
            return Prompt::Reading(label);
        }
        if let Some(gate) = self.gate() {
            return match waits::due(self) {
                Some(_) => Prompt::Settle { condition: self.fact(gate), timer: self.timer_view() },
                None => Prompt::Look(Question { text: self.question(gate), because: self.because() }),
            };
        }
        if !self.normals_due.is_empty() {
            return Prompt::Normals(self.normals_due.iter().map(|&due| self.fact(due)).collect());
        }
        if self.ticks_doubted {
            return Prompt::Look(Question { text: self.ticks_question(), because: Because::Lapsed });
        }
        if let Some(tick) = self.tick() {
            return Prompt::Fasten(tick);
        }
        self.step_prompt()
    }

    fn step_prompt(&self) -> Prompt {
        let step = self.step();
        if self.unverified.is_some() {
            let role = step
                .and_then(|step| step.common.verified_by.as_ref())
                .map(|role| role.words())
                .unwrap_or_default();
            return Prompt::Sign { role, check: None };
        }
        match (&self.node().kind, step.map(|step| &step.kind)) {
            (NodeKind::Hold, Some(Kind::Hold(hold))) => {
                Prompt::Sign { role: hold.released_by.words(), check: Some(self.filled(&hold.check)) }
            }
            (NodeKind::Measure { attempt, attempts }, Some(Kind::Measure(measure))) => {
                let instrument = self.instrument(measure);
                let label = instrument.and_then(|instrument| instrument.label.clone());
                let range = self.acceptance(measure).ok().map(|(range, _)| range);
                Prompt::Reading(Reading {
                    what: self.filled(&measure.what),
                    instrument: label.unwrap_or_else(|| measure.instrument.words()),
                    unit: instrument.map(|instrument| instrument.unit.clone()).unwrap_or_default(),
                    accepted: range.as_ref().map(|range| self.shown(range)),
                    range,
                    attempt: *attempt,
                    attempts: *attempts,
                })
            }
            (NodeKind::Ask, Some(Kind::Ask(question))) => Prompt::Answer {
                question: self.filled(&question.text),
                answers: question.answers.keys().cloned().collect(),
            },
            (NodeKind::AnyOrder { .. }, _) => {
                Prompt::Item(advance::open_items(self).into_iter().map(|(_, path)| path).collect())
            }
            (NodeKind::Wait(_), _) => Prompt::Wait(self.timer_view()),
            (NodeKind::Confirm(_) | NodeKind::RepeatUntil { .. }, _) => match advance::next_question(self) {
                Some(conjunct) => {
                    Prompt::Look(Question { text: self.question(conjunct), because: Because::Step })
                }
                None => Prompt::Act,
            },
            _ => Prompt::Act,
        }
    }

    fn because(&self) -> Because {
        if !self.start_due.is_empty() {
            Because::BeforeStart
        } else if !self.lapsed.is_empty() {
            Because::Lapsed
        } else {
            Because::ReliedOn
        }
    }

    fn timer_view(&self) -> Timer {
        let asked = self.gate().is_none().then(|| advance::next_question(self)).flatten();
        Timer {
            millis: waits::due(self).unwrap_or(0),
            since_ms: self.timer.map(|timer| timer.since_ms),
            until: asked.map(|conjunct| self.question(conjunct)),
            limit: waits::limit(self),
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
            let figure = self.figure(&Figure(format!("${amount}"))).ok().flatten()?;
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
