//! A step as plain data.

use super::pieces::{Question, Value, Warning};
use crate::prose::Prose;
use serde::{Deserialize, Serialize};

/// One step, to be kept together on a page.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StepBox {
    /// Its number, `4` or `4.2`.
    pub number: String,
    /// Its name, by which records know it.
    pub id: String,
    /// The word for its kind; none for an act.
    pub kind: Option<&'static str>,
    /// For which machines it is, as a sentence.
    pub only: Option<String>,
    /// The warnings, gravest first: they stand before everything that is done.
    pub warnings: Vec<Alert>,
    /// Information.
    pub note: Option<Prose>,
    /// What must hold before it, as statements.
    pub needs: Vec<String>,
    /// The type of work.
    pub work: Option<String>,
    /// Protective equipment of the type of work.
    pub wear: Vec<String>,
    /// Tools, supplies and spares it takes.
    pub takes: Vec<String>,
    /// The role that does it.
    pub by: Option<String>,
    /// What to do.
    pub text: Prose,
    /// What belongs to its kind.
    pub detail: Detail,
    /// What is so of the machine when it is done, as statements.
    pub leaves: Vec<String>,
    /// What is to be seen when it is done.
    pub expect: Option<Prose>,
    /// The role that verifies it and signs.
    pub verified_by: Option<String>,
    /// Where to go from here, if not to the next step.
    pub routes: Vec<Route>,
    /// How many times its blanks are needed: once for each round it is part of, five at most.
    pub rounds: u32,
    /// The steps inside it.
    pub inner: Vec<StepBox>,
}

impl StepBox {
    /// Whether the machine that was chosen does without it: the box says so and keeps the number.
    #[must_use]
    pub fn is_passed_over(&self) -> bool {
        self.kind == Some(PASSED_OVER)
    }
}

/// The word for the kind of a step that the chosen machine does without.
pub(super) const PASSED_OVER: &str = "Not for this machine";

/// A warning at its step.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Alert {
    /// The warning.
    pub warning: Warning,
    /// Whether the same was given in full at the step directly before, the only way to this one.
    pub compact: bool,
}

/// Where to go.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Route {
    /// In which case, as the beginning of a sentence.
    pub when: String,
    /// Where, as its end: "go to step 9".
    pub to: String,
    /// The number of the step it leads to; none if it ends the steps.
    pub step: Option<String>,
    /// Whether the work ends there unfinished.
    pub stops: bool,
}

/// What belongs to the kind of a step.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "is", rename_all = "snake_case")]
pub enum Detail {
    /// An act: nothing further.
    Act,
    /// Conditions to be looked at.
    Confirm {
        /// One by one.
        questions: Vec<Question>,
    },
    /// A reading.
    Measure {
        /// The instrument, with what it shows.
        instrument: String,
        /// Unit of the blanks.
        unit: String,
        /// The acceptable range.
        range: Value,
        /// What a reading close to a limit is worth.
        uncertainty: Option<String>,
        /// How many readings may be taken in all, a blank each.
        readings: u32,
    },
    /// A wait.
    Wait {
        /// The time that must pass.
        time: Option<Value>,
        /// What is waited for.
        until: Vec<Question>,
        /// The longest wait.
        limit: Option<Value>,
    },
    /// A decision.
    Ask {
        /// Every answer with where it goes.
        answers: Vec<Route>,
    },
    /// A hold point.
    Hold {
        /// The role that releases it.
        role: String,
    },
    /// A pass over fasteners.
    Fasten {
        /// Each time through the group, with what is done to each fastener.
        passes: Vec<PassRow>,
        /// How they are numbered.
        numbering: &'static str,
        /// Where they are, with the turn of each.
        diagram: Diagram,
        /// A remark of the equipment's.
        note: Option<String>,
    },
    /// Items in any order.
    AnyOrder,
    /// Steps done again.
    Repeat {
        /// What ends it.
        until: Vec<Question>,
        /// How many rounds at most, a box each.
        rounds: u32,
    },
    /// Another procedure.
    Perform,
}

/// One time through a group of fasteners.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PassRow {
    /// Which pass it is and what is done to each, such as `Pass 1 of 2, to 30 % (0.9 N·m)`; empty where one pass does
    /// what the step says.
    pub label: String,
    /// The numbers of the fasteners in the order of the pass.
    pub order: Vec<usize>,
}

/// Fasteners where they are, to scale, in units of a drawing.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Diagram {
    /// What it shows, for people who do not see it.
    pub label: String,
    /// The same in words: the turn of each fastener.
    pub words: String,
    /// Width of the drawing.
    pub width: i64,
    /// Height of the drawing.
    pub height: i64,
    /// The fasteners by their numbers.
    pub dots: Vec<Dot>,
}

/// One fastener.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Dot {
    /// Its number.
    pub number: usize,
    /// At which turn it is done.
    pub turn: usize,
    /// From the left.
    pub x: i64,
    /// From the top.
    pub y: i64,
}
