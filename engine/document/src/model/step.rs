//! A step: one main key that says its kind, and keys common to all kinds.

use super::{Cube, Figure, Name};
use indexmap::IndexMap;
use serde::Deserialize;

// The schema and `Step::kind` hold a step to its one main key.
/// One step. Exactly one of its main keys is present: it says the kind of the step.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(transform = crate::schema::generate::one_main_key))]
#[serde(deny_unknown_fields)]
pub struct Step {
    /// The step's name, unique in its procedure.
    pub id: Name,

    /// An act, imperative, in Markdown.
    #[serde(rename = "do")]
    pub act: Option<String>,
    /// A reusable step of the equipment.
    pub action: Option<Name>,
    /// Conditions to be looked at and confirmed; `otherwise` says where to go if not.
    pub confirm: Option<Confirm>,
    /// A reading with its range; `otherwise` says where to go outside it.
    pub measure: Option<Measure>,
    /// A guaranteed time, or a wait until something is so; `otherwise` says where to go at the limit.
    pub wait: Option<Wait>,
    /// A question; `answers` says where each answer goes.
    pub ask: Option<String>,
    /// A hold point released by a named role.
    pub hold: Option<Hold>,
    /// A pass over a group of fasteners.
    pub fasten: Option<Fasten>,
    /// Steps to be done in any order, one at a time.
    pub any_order: Option<Vec<Step>>,
    /// Steps done again until something is so, at most so many times; `otherwise` says where to go then.
    pub repeat: Option<Repeat>,
    /// Another procedure, done here in full.
    pub perform: Option<Name>,

    /// What must hold before the step.
    #[serde(default)]
    pub requires: Cube,
    /// What is true after it.
    #[serde(default)]
    pub leaves: Cube,
    /// What it makes uncertain.
    #[serde(default)]
    pub disturbs: Vec<Name>,
    /// Type of work it is.
    pub work: Option<Name>,
    /// Hazards to warn of before the step.
    #[serde(default)]
    pub warn: Vec<Name>,
    /// Information only, in Markdown.
    pub note: Option<String>,
    /// Tools the step takes.
    #[serde(default)]
    pub tools: Vec<Name>,
    /// Supplies the step takes.
    #[serde(default)]
    pub supplies: Vec<Name>,
    /// Spares the step takes.
    #[serde(default)]
    pub spares: Vec<Name>,
    /// The role that does the step, where not everyone may.
    pub by: Option<Name>,
    /// The role that verifies the step, independently of who did it.
    pub verified_by: Option<Name>,
    /// The variants for which the step is done; for others it is passed over.
    #[serde(default)]
    pub only: Cube,
    /// The expected, observable result, in Markdown.
    pub expect: Option<String>,
    /// Findings about wording and completeness that are accepted here: the code, and the reason.
    #[serde(default)]
    pub accept: IndexMap<String, String>,
    /// Where to go after the step; without one, to the next.
    pub then: Option<Target>,
    /// Where to go when a confirmation, reading or wait fails, or a repeat runs out.
    pub otherwise: Option<Target>,
    /// Where each answer of an `ask` goes.
    pub answers: Option<IndexMap<String, Answer>>,
}

/// The name of a step, or `done` or `stop`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(transparent)]
pub struct Target(
    /// The authored text.
    pub Name,
);

/// Conditions to be looked at and confirmed.
pub type Confirm = Cube;

/// A reading with its range. At least one of `at_least` and `at_most` is present.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Measure {
    /// What is measured, as a phrase: "the resistance across the bond strip".
    pub what: String,
    /// Instrument of the equipment.
    pub instrument: Name,
    /// Least acceptable reading, with its unit.
    pub at_least: Option<Figure>,
    /// Greatest acceptable reading, with its unit.
    pub at_most: Option<Figure>,
    /// What a reading in range shows; a reading out of range shows the opposite.
    #[serde(default)]
    pub shows: Cube,
    /// How many further readings may be taken before `otherwise`; none without it.
    #[serde(default)]
    pub retests: u32,
}

/// A guaranteed time (`for`), or a wait until conditions are so (`until`) with a `limit`, or both.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Wait {
    /// Time that surely passes, with its unit.
    #[serde(rename = "for")]
    pub time: Option<Figure>,
    /// What is waited for.
    #[serde(default)]
    pub until: Cube,
    /// Longest wait for it, with its unit.
    pub limit: Option<Figure>,
    /// What happens meanwhile, as a sentence.
    pub why: Option<String>,
}

/// A hold point.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Hold {
    /// The role that releases it.
    pub released_by: Name,
    /// What that person makes sure of, imperative.
    pub check: String,
}

/// One pass over a group of fasteners.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Fasten {
    /// The group.
    pub fasteners: Name,
    /// What is done to each.
    pub pass: Pass,
}

/// What one pass does to each fastener.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Pass {
    /// Turned until it is seated.
    Seat,
    /// Tightened to the torque.
    Tighten,
    /// Loosened, in the reverse order.
    Loosen,
}

/// Steps done again until something is so.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Repeat {
    /// The steps.
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub steps: Vec<Step>,
    /// What ends the repeat; looked at and confirmed after each round.
    pub until: Cube,
    /// How many rounds at most.
    #[cfg_attr(test, schemars(range(min = 1, max = 100)))]
    pub at_most: u32,
}

/// Where an answer goes, and what it shows.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(untagged)]
pub enum Answer {
    /// Just where it goes.
    Goes(Target),
    /// What the answer shows to be true, and where it goes.
    Shows(Outcome),
}

/// What an answer shows, and where it goes.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Outcome {
    /// What the answer shows to be true of the machine.
    pub shows: Cube,
    /// Where it goes.
    pub then: Target,
}

impl Answer {
    /// Where the answer goes.
    #[must_use]
    pub fn target(&self) -> &Target {
        match self {
            Self::Goes(target) => target,
            Self::Shows(outcome) => &outcome.then,
        }
    }
}

/// The kind of a step, with what belongs to it.
#[derive(Clone, Copy, Debug)]
pub enum Kind<'a> {
    /// An act.
    Do(&'a str),
    /// A reusable step of the equipment.
    Action(&'a Name),
    /// Conditions to be confirmed.
    Confirm(&'a Confirm),
    /// A reading.
    Measure(&'a Measure),
    /// A wait.
    Wait(&'a Wait),
    /// A question with its answers.
    Ask(&'a str),
    /// A hold point.
    Hold(&'a Hold),
    /// A pass over fasteners.
    Fasten(&'a Fasten),
    /// Steps in any order.
    AnyOrder(&'a [Step]),
    /// Steps done again.
    Repeat(&'a Repeat),
    /// Another procedure.
    Perform(&'a Name),
}

/// The main keys, one of which every step has.
pub const MAIN_KEYS: [&str; 11] =
    ["do", "action", "confirm", "measure", "wait", "ask", "hold", "fasten", "any_order", "repeat", "perform"];

impl Step {
    /// The step's kind; `None` unless exactly one main key is present, which the schema has told already.
    #[must_use]
    pub fn kind(&self) -> Option<Kind<'_>> {
        let present = [
            self.act.is_some(),
            self.action.is_some(),
            self.confirm.is_some(),
            self.measure.is_some(),
            self.wait.is_some(),
            self.ask.is_some(),
            self.hold.is_some(),
            self.fasten.is_some(),
            self.any_order.is_some(),
            self.repeat.is_some(),
            self.perform.is_some(),
        ];
        if present.iter().map(|&present| u8::from(present)).sum::<u8>() != 1 {
            return None;
        }
        let act = self.act.as_deref().map(Kind::Do);
        act.or_else(|| self.action.as_ref().map(Kind::Action))
            .or_else(|| self.confirm.as_ref().map(Kind::Confirm))
            .or_else(|| self.measure.as_ref().map(Kind::Measure))
            .or_else(|| self.wait.as_ref().map(Kind::Wait))
            .or_else(|| self.ask.as_deref().map(Kind::Ask))
            .or_else(|| self.hold.as_ref().map(Kind::Hold))
            .or_else(|| self.fasten.as_ref().map(Kind::Fasten))
            .or_else(|| self.any_order.as_deref().map(Kind::AnyOrder))
            .or_else(|| self.repeat.as_ref().map(Kind::Repeat))
            .or_else(|| self.perform.as_ref().map(Kind::Perform))
    }

    /// The main key as written.
    #[must_use]
    pub fn main_key(&self) -> Option<&'static str> {
        Some(match self.kind()? {
            Kind::Do(_) => "do",
            Kind::Action(_) => "action",
            Kind::Confirm(_) => "confirm",
            Kind::Measure(_) => "measure",
            Kind::Wait(_) => "wait",
            Kind::Ask(_) => "ask",
            Kind::Hold(_) => "hold",
            Kind::Fasten(_) => "fasten",
            Kind::AnyOrder(_) => "any_order",
            Kind::Repeat(_) => "repeat",
            Kind::Perform(_) => "perform",
        })
    }

    /// The steps inside this one, with the pointer segment that leads to them.
    #[must_use]
    pub fn inner(&self) -> Option<(&'static str, &[Step])> {
        match self.kind()? {
            Kind::AnyOrder(steps) => Some(("/any_order", steps)),
            Kind::Repeat(repeat) => Some(("/repeat/steps", &repeat.steps)),
            _ => None,
        }
    }
}
