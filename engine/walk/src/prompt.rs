//! What is asked now, as data: a terminal or a page lays it out.

use crate::asking_on::Other;
use crate::event::Because;
use crate::reading::Reading;
use crate::stage::Stage;
use crate::state::Walk;
use crate::status::Status;
use crate::ticks::Tick;
use crate::timers;
use calc::quantity::Range;
use document::model::{Equipment, Figure, Kind, Name};
use machine::{Choice, Conjunct};

/// A question with what a yes would show.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Question {
    /// The question in the equipment's words.
    pub text: String,
    /// Why it is asked.
    pub because: Because,
    /// What is said in the place of "no"; where it is empty, "no" itself.
    pub others: Vec<Other>,
    /// Which of the questions of its page it is, from 1.
    pub number: usize,
    /// How many the page has.
    pub of: usize,
}

impl Question {
    /// The question as it is put: what nobody can look at is asked of the record.
    #[must_use]
    pub fn asked(&self) -> String {
        let by_record = if self.because == Because::ByRecord { "By record: " } else { "" };
        format!("{by_record}{}", self.text)
    }
}

/// Something that may put right what keeps a gate shut.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Offer {
    /// The equipment's action.
    pub action: String,
    /// What it says.
    pub words: String,
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
    /// What is said in the place of "no" once that has not come; where it is empty, "no" itself.
    pub others: Vec<Other>,
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
    /// Yes, no or what it is instead, or cannot tell.
    Look(Question),
    /// Yes or no to something that is not about the machine alone: whether it is as it was left.
    AsLeft {
        /// The question.
        question: String,
        /// Whether it may be said as well that the act was done to its end.
        may_be_done: bool,
    },
    /// A look was not yes: what may be done about it. Stopping always may.
    Shut {
        /// What must be so.
        due: String,
        /// The question.
        question: Question,
        /// What may put it right, each once.
        offers: Vec<Offer>,
        /// Whether it may be looked at once more.
        may_look: bool,
    },
    /// A condition that can only be waited for.
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
        /// What that person makes sure of; none for a verification, which may also say that it is not so.
        check: Option<String>,
    },
    /// A reading, or before step 1 a figure of the product's label.
    Reading(Reading),
    /// A question with its answers.
    Answer {
        /// The question.
        question: String,
        /// The answers, as they are given.
        answers: Vec<String>,
        /// Whether nobody may be able to tell.
        may_not_tell: bool,
    },
    /// Items of which one is to be chosen.
    Item(Vec<String>),
    /// A wait.
    Wait(Timer),
    /// Nothing but a stop is left, and why.
    Locked(String),
    /// A walk of format 1: it is stopped here, or finished on paper.
    Earlier,
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
            Stage::Earlier(_) => Prompt::Earlier,
            Stage::Variant(due) => {
                let var = self.machine.layout.var(due);
                Prompt::Variant { label: var.label.clone(), values: var.values.clone() }
            }
            Stage::Label(reading) => Prompt::Reading(reading),
            Stage::Gate { due, because, number, of, .. } => {
                Prompt::Look(self.asked(due, because, number, of))
            }
            Stage::Shut { due, because, offers, may_look, .. } => Prompt::Shut {
                due: self.fact(due),
                question: self.asked(due, because, 1, 1),
                offers: offers.into_iter().map(|action| self.offer(action)).collect(),
                may_look,
            },
            Stage::Settle { due, millis, clock, .. } => {
                let others = Vec::new();
                let timer = Timer { millis, since_ms: clock.since_ms(), until: None, others, limit: None };
                Prompt::Settle { condition: self.fact(due), timer }
            }
            Stage::BegunDoubted => Prompt::AsLeft {
                question: "Had this act been begun before the interruption?".to_owned(),
                may_be_done: self.may_be_done(),
            },
            Stage::TicksDoubted => Prompt::AsLeft { question: self.ticks_question(), may_be_done: false },
            Stage::Verification => {
                let role = self.verifying_role().map(|role| role.words()).unwrap_or_default();
                Prompt::Sign { role, check: None }
            }
            Stage::Fasten(tick) => Prompt::Fasten(tick),
            Stage::Act => Prompt::Act,
            Stage::Hold => self.hold_prompt(),
            Stage::Measure { attempt, attempts } => self.reading_prompt(attempt, attempts),
            Stage::Ask => self.answer_prompt(),
            Stage::Item => Prompt::Item(self.open_items().into_iter().map(|(_, path)| path).collect()),
            Stage::Wait { millis, clock, until } => Prompt::Wait(Timer {
                millis,
                since_ms: clock.since_ms(),
                // The first that has not come is waited for, to the limit.
                others: until
                    .filter(|tick| tick.failed || timers::limit(self).is_none())
                    .map(|tick| self.others(tick.asked))
                    .unwrap_or_default(),
                until: until.map(|tick| self.question(tick.asked)),
                limit: timers::limit(self),
            }),
            Stage::Look(tick) => {
                let (number, of) = (tick.number as usize, tick.of as usize);
                Prompt::Look(self.asked(tick.asked, Because::Step, number, of))
            }
            Stage::Locked(why) => Prompt::Locked(why),
        }
    }

    fn offer(&self, action: String) -> Offer {
        let known = self.equipment().and_then(|equipment| equipment.actions.get(action.as_str()));
        let words = known.map(|known| self.filled(&known.act)).unwrap_or_default();
        Offer { action, words }
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
            may_not_tell: self.may_not_tell(),
        })
    }

    fn answer_prompt(&self) -> Prompt {
        let Some(Kind::Ask(question)) = self.step().map(|step| &step.kind) else { return Prompt::Act };
        Prompt::Answer {
            question: self.filled(&question.text),
            answers: self.answers(),
            may_not_tell: self.may_not_tell(),
        }
    }

    fn asked(&self, due: Conjunct, because: Because, number: usize, of: usize) -> Question {
        Question { text: self.question(due), because, others: self.others(due), number, of }
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
    pub(crate) fn filled(&self, text: &str) -> String {
        document::filled(text, |amount| {
            let figure = self.figure(&Figure::Amount(Name::from(amount))).ok().flatten()?;
            Some(self.equipment()?.system().show(&figure))
        })
    }

    /// A range in the units that the equipment asks for.
    pub(crate) fn shown(&self, range: &Range) -> String {
        range.show(self.equipment().map(Equipment::system).unwrap_or_default())
    }

    /// Whether the step has a way for what nobody can tell.
    pub(crate) fn may_not_tell(&self) -> bool {
        self.node().outcomes.iter().any(|outcome| outcome.choice == Choice::CannotTell)
    }

    pub(crate) fn fact(&self, conjunct: Conjunct) -> String {
        let layout = &self.machine.layout;
        let values = layout.words_of(conjunct.var, conjunct.set).join(" or ");
        format!("{} {values}", layout.var(conjunct.var).label)
    }
}
