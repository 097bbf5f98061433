//! A step: what it is, and what every step may say.

use super::parts::{Answer, Confirm, Fasten, Hold, Measure, Target, Wait};
use super::{Cube, Figure, Leaves, Name};
use indexmap::IndexMap;
use serde::Deserialize;

/// One step.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(try_from = "Written")]
pub struct Step {
    /// What a step of any kind may say.
    pub common: Common,
    /// What it is, with what belongs to that kind alone.
    pub kind: Kind,
}

/// What a step of any kind may say.
#[derive(Clone, Debug, PartialEq)]
pub struct Common {
    /// The step's name, unique in its procedure.
    pub id: Name,
    /// What must hold before the step.
    pub requires: Cube,
    /// What is true after it, in the order in which it comes about.
    pub leaves: Leaves,
    /// What it makes uncertain.
    pub disturbs: Vec<Name>,
    /// Type of work it is.
    pub work: Option<Name>,
    /// Hazards to warn of before the step.
    pub warn: Vec<Name>,
    /// Information only, in Markdown.
    pub note: Option<String>,
    /// Tools the step takes.
    pub tools: Vec<Name>,
    /// Supplies the step takes.
    pub supplies: Vec<Name>,
    /// Spares the step takes.
    pub spares: Vec<Name>,
    /// The role that does the step, where not everyone may.
    pub by: Option<Name>,
    /// The role that verifies the step, independently of who did it.
    pub verified_by: Option<Name>,
    /// The variants for which the step is done; for others it is passed over.
    pub only: Cube,
    /// The expected, observable result, in Markdown.
    pub expect: Option<String>,
    /// Findings about wording and completeness that are accepted here: the code, and the reason.
    pub accept: IndexMap<String, String>,
    /// Where to go after the step; without one, to the next.
    pub then: Option<Target>,
    /// Where to go when a confirmation, reading or wait fails, a repeat runs out, or an act is not verified. One that belongs
    /// to another kind, or is missing, is a finding (N11).
    pub otherwise: Option<Target>,
}

/// The kind of a step, with what belongs to it.
#[derive(Clone, Debug, PartialEq)]
pub enum Kind {
    /// An act, imperative, in Markdown.
    Do(String),
    /// A reusable step of the equipment.
    Action(Name),
    /// Conditions to be confirmed.
    Confirm(Confirm),
    /// A reading.
    Measure(Box<Measure>),
    /// A wait.
    Wait(Box<Wait>),
    /// A question with its answers.
    Ask(Question),
    /// A hold point.
    Hold(Hold),
    /// A pass over fasteners.
    Fasten(Fasten),
    /// Steps in any order.
    AnyOrder(Vec<Step>),
    /// Steps done again.
    Repeat(Repeat),
    /// Another procedure.
    Perform(Name),
}

/// A question and where its answers lead.
#[derive(Clone, Debug, PartialEq)]
pub struct Question {
    /// What is asked, in Markdown.
    pub text: String,
    /// Where each answer goes; fewer than two are a finding (N12).
    pub answers: IndexMap<String, Answer>,
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

/// The main keys, one of which every step has.
pub const MAIN_KEYS: [&str; 11] =
    ["do", "action", "confirm", "measure", "wait", "ask", "hold", "fasten", "any_order", "repeat", "perform"];

impl Kind {
    /// The main key as written.
    #[must_use]
    pub fn main_key(&self) -> &'static str {
        match self {
            Self::Do(_) => "do",
            Self::Action(_) => "action",
            Self::Confirm(_) => "confirm",
            Self::Measure(_) => "measure",
            Self::Wait(_) => "wait",
            Self::Ask(_) => "ask",
            Self::Hold(_) => "hold",
            Self::Fasten(_) => "fasten",
            Self::AnyOrder(_) => "any_order",
            Self::Repeat(_) => "repeat",
            Self::Perform(_) => "perform",
        }
    }

    /// The steps inside, with the pointer segment that leads to them.
    #[must_use]
    pub fn inner(&self) -> Option<(&'static str, &[Step])> {
        match self {
            Self::AnyOrder(steps) => Some(("/any_order", steps)),
            Self::Repeat(repeat) => Some(("/repeat/steps", &repeat.steps)),
            Self::Do(_)
            | Self::Action(_)
            | Self::Confirm(_)
            | Self::Measure(_)
            | Self::Wait(_)
            | Self::Ask(_)
            | Self::Hold(_)
            | Self::Fasten(_)
            | Self::Perform(_) => None,
        }
    }

    /// When a step of this kind leads to its `otherwise`, in words; none where nothing of it can fail by itself.
    #[must_use]
    pub fn failure(&self) -> Option<&'static str> {
        match self {
            Self::Confirm(_) => Some("the confirmation fails"),
            Self::Measure(_) => Some("the reading is out of range"),
            Self::Wait(wait) => (!wait.until.is_empty()).then_some("the limit is reached"),
            Self::Repeat(_) => Some("the rounds are used up"),
            Self::Do(_)
            | Self::Action(_)
            | Self::Ask(_)
            | Self::Hold(_)
            | Self::Fasten(_)
            | Self::AnyOrder(_)
            | Self::Perform(_) => None,
        }
    }

    /// What a single look with two outcomes asks for; a question has answers instead, and a repeat looks after its rounds.
    #[must_use]
    pub fn looked_for(&self) -> Option<&Cube> {
        match self {
            Self::Confirm(cube) => Some(cube),
            Self::Measure(measure) => Some(&measure.shows),
            Self::Wait(wait) => Some(&wait.until),
            Self::Do(_)
            | Self::Action(_)
            | Self::Ask(_)
            | Self::Hold(_)
            | Self::Fasten(_)
            | Self::AnyOrder(_)
            | Self::Repeat(_)
            | Self::Perform(_) => None,
        }
    }

    /// The figures of a wait or of a reading's range.
    #[must_use]
    pub fn figures(&self) -> Vec<&Figure> {
        match self {
            Self::Measure(measure) => measure.at_least.iter().chain(&measure.at_most).collect(),
            Self::Wait(wait) => wait.time.iter().chain(&wait.limit).collect(),
            Self::Do(_)
            | Self::Action(_)
            | Self::Confirm(_)
            | Self::Ask(_)
            | Self::Hold(_)
            | Self::Fasten(_)
            | Self::AnyOrder(_)
            | Self::Repeat(_)
            | Self::Perform(_) => Vec::new(),
        }
    }

    /// The answers of a question; those of any other step are none.
    pub fn answers(&self) -> impl Iterator<Item = (&str, &Answer)> {
        let answers = if let Self::Ask(question) = self { Some(&question.answers) } else { None };
        answers.into_iter().flatten().map(|(word, answer)| (word.as_str(), answer))
    }

    /// The action of the equipment that the step carries out, if it is one.
    #[must_use]
    pub fn action(&self) -> Option<&Name> {
        if let Self::Action(name) = self { Some(name) } else { None }
    }
}

impl Step {
    /// The steps inside this one, with the pointer segment that leads to them.
    #[must_use]
    pub fn inner(&self) -> Option<(&'static str, &[Step])> {
        self.kind.inner()
    }
}

// A step as its keys stand in a document; the schema holds it to one main key.
/// One step. Exactly one of its main keys is present: it says the kind of the step.
#[derive(Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(transform = crate::schema::generate::one_main_key))]
#[cfg_attr(test, schemars(rename = "Step"))]
#[serde(deny_unknown_fields)]
struct Written {
    /// The step's name, unique in its procedure.
    id: Name,

    /// An act, imperative, in Markdown.
    #[serde(rename = "do")]
    act: Option<String>,
    /// A reusable step of the equipment.
    action: Option<Name>,
    /// Conditions to be looked at and confirmed; `otherwise` says where to go if not.
    confirm: Option<Confirm>,
    /// A reading with its range; `otherwise` says where to go outside it.
    measure: Option<Measure>,
    /// A guaranteed time, or a wait until something is so; `otherwise` says where to go at the limit.
    wait: Option<Wait>,
    /// A question; `answers` says where each answer goes.
    ask: Option<String>,
    /// A hold point released by a named role.
    hold: Option<Hold>,
    /// A pass over a group of fasteners.
    fasten: Option<Fasten>,
    /// Steps to be done in any order, one at a time.
    any_order: Option<Vec<Step>>,
    /// Steps done again until something is so, at most so many times; `otherwise` says where to go then.
    repeat: Option<Repeat>,
    /// Another procedure, done here in full.
    perform: Option<Name>,

    /// What must hold before the step.
    #[serde(default)]
    requires: Cube,
    /// What is true after it, in the order in which it comes about.
    #[serde(default)]
    leaves: Leaves,
    /// What it makes uncertain.
    #[serde(default)]
    disturbs: Vec<Name>,
    /// Type of work it is.
    work: Option<Name>,
    /// Hazards to warn of before the step.
    #[serde(default)]
    warn: Vec<Name>,
    /// Information only, in Markdown.
    note: Option<String>,
    /// Tools the step takes.
    #[serde(default)]
    tools: Vec<Name>,
    /// Supplies the step takes.
    #[serde(default)]
    supplies: Vec<Name>,
    /// Spares the step takes.
    #[serde(default)]
    spares: Vec<Name>,
    /// The role that does the step, where not everyone may.
    by: Option<Name>,
    /// The role that verifies the step, independently of who did it.
    verified_by: Option<Name>,
    /// The variants for which the step is done; for others it is passed over.
    #[serde(default)]
    only: Cube,
    /// The expected, observable result, in Markdown.
    expect: Option<String>,
    /// Findings about wording and completeness that are accepted here: the code, and the reason.
    #[serde(default)]
    accept: IndexMap<String, String>,
    /// Where to go after the step; without one, to the next.
    then: Option<Target>,
    /// Where to go when a confirmation, reading or wait fails, a repeat runs out, or an act is not verified.
    otherwise: Option<Target>,
    /// Where each answer of an `ask` goes.
    answers: Option<IndexMap<String, Answer>>,
}

impl TryFrom<Written> for Step {
    type Error = &'static str;

    fn try_from(written: Written) -> Result<Self, Self::Error> {
        let Written {
            id,
            act,
            action,
            confirm,
            measure,
            wait,
            ask,
            hold,
            fasten,
            any_order,
            repeat,
            perform,
            requires,
            leaves,
            disturbs,
            work,
            warn,
            note,
            tools,
            supplies,
            spares,
            by,
            verified_by,
            only,
            expect,
            accept,
            then,
            otherwise,
            answers,
        } = written;
        // `answers` without a question are a finding of the reader, which sees the document itself.
        let question = |text| Kind::Ask(Question { text, answers: answers.unwrap_or_default() });
        let kinds = [
            act.map(Kind::Do),
            action.map(Kind::Action),
            confirm.map(Kind::Confirm),
            measure.map(|measure| Kind::Measure(Box::new(measure))),
            wait.map(|wait| Kind::Wait(Box::new(wait))),
            ask.map(question),
            hold.map(Kind::Hold),
            fasten.map(Kind::Fasten),
            any_order.map(Kind::AnyOrder),
            repeat.map(Kind::Repeat),
            perform.map(Kind::Perform),
        ];
        let mut present = kinds.into_iter().flatten();
        let (Some(kind), None) = (present.next(), present.next()) else {
            return Err("a step has exactly one main key");
        };
        let common = Common {
            id,
            requires,
            leaves,
            disturbs,
            work,
            warn,
            note,
            tools,
            supplies,
            spares,
            by,
            verified_by,
            only,
            expect,
            accept,
            then,
            otherwise,
        };
        Ok(Self { common, kind })
    }
}

#[cfg(test)]
impl schemars::JsonSchema for Step {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        Written::schema_name()
    }

    fn json_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
        Written::json_schema(generator)
    }
}
