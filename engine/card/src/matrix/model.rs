//! A matrix as plain data, and what the proof says for it.

use crate::page::SignalWord;
use document::model::Name;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// Stands at the head of every matrix.
pub const INTRODUCTION: &str = "Gaps come first. A control listed is one that was found in the documents or proved \
    of them; whether it is enough, and whether the machine is as the documents say, is for the person who approves.";

/// What the proof says of a procedure.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Verdicts {
    /// The equipment's rules by name.
    pub rules: BTreeMap<Name, Verdict>,
    /// JSON pointers of the steps with a precondition that does not hold on every path.
    pub unmet: BTreeSet<String>,
    /// Whether the proof came to its end: if not, what is not refuted is not proved either.
    pub complete: bool,
}

/// What was proved of a rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// It holds on every path.
    Proved,
    /// It is broken on a path.
    Refuted,
    /// The proof did not come to an end.
    NotProved,
    /// It is no prohibition: each act that may bring it about stands behind a hold point of a role.
    Released,
}

impl Verdict {
    /// Whether it stands against an approval.
    #[must_use]
    pub fn is_against(self) -> bool {
        match self {
            Self::Proved | Self::Released => false,
            Self::Refuted | Self::NotProved => true,
        }
    }
}

/// The matrix of one procedure.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Matrix {
    /// What people call the procedure.
    pub title: String,
    /// Its name.
    pub id: String,
    /// Its revision.
    pub revision: u32,
    /// When it comes into force: YYYY-MM-DD.
    pub effective: Option<String>,
    /// What people call the equipment.
    pub equipment: String,
    /// The hash of the content.
    pub content: String,
    /// The hazards: those with gaps first, then gravest first.
    pub hazards: Vec<HazardRow>,
    /// Protective equipment that the whole procedure asks for.
    pub wear: Vec<String>,
}

/// One hazard.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct HazardRow {
    /// Its name in words.
    pub name: String,
    /// Its signal word.
    pub word: SignalWord,
    /// What the danger is, what happens, how to avoid it.
    pub message: String,
    /// The rules against it, with what was proved of each.
    pub rules: Vec<RuleLine>,
    /// The steps that expose to it, those with gaps first.
    pub exposures: Vec<Exposure>,
    /// How many gaps there are.
    pub gaps: usize,
}

/// One rule against a hazard.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct RuleLine {
    /// Its name in words.
    pub name: String,
    /// What was proved of it.
    pub verdict: Verdict,
    /// The role that releases what it names, for one that is no prohibition.
    pub released_by: Option<String>,
}

impl RuleLine {
    /// The verdict in words.
    #[must_use]
    pub fn words(&self) -> String {
        match (self.verdict, &self.released_by) {
            (Verdict::Proved, _) => "proved on every path".to_owned(),
            (Verdict::Refuted, _) => "REFUTED".to_owned(),
            (Verdict::NotProved, _) => "NOT PROVED".to_owned(),
            (Verdict::Released, Some(role)) => format!("may come about once released by the {role}"),
            (Verdict::Released, None) => "may come about once released".to_owned(),
        }
    }
}

/// One step that exposes to a hazard.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Exposure {
    /// Its number.
    pub step: String,
    /// Its short title.
    pub title: String,
    /// By what it exposes.
    pub by: Vec<String>,
    /// The controls found.
    pub controls: Vec<Control>,
    /// What is missing, in words.
    pub gap: Option<String>,
}

/// One control.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Control {
    /// What kind of control.
    pub kind: ControlKind,
    /// Which, in words.
    pub text: String,
}

/// Kinds of controls.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ControlKind {
    /// A precondition that holds on every path.
    Need,
    /// A rule that holds on every path.
    Rule,
    /// Conditions that are looked at on every way to the step.
    Gate,
    /// A wait on every way to the step.
    Wait,
    /// A second person.
    Verification,
    /// Who does it, and how many together, where the type of work asks for that.
    People,
    /// Protective equipment.
    Wear,
    /// A warning before the act.
    Warning,
}

impl ControlKind {
    /// The kind in words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Need => "precondition proved",
            Self::Rule => "rule proved",
            Self::Gate => "gate",
            Self::Wait => "wait",
            Self::Verification => "second person",
            Self::People => "people",
            Self::Wear => "protective equipment",
            Self::Warning => "warning",
        }
    }
}

impl Matrix {
    /// When it comes into force, in words.
    #[must_use]
    pub fn effective(&self) -> &str {
        self.effective.as_deref().unwrap_or("not stated")
    }
}

impl Exposure {
    /// The controls of each kind in one line: the kind, and which they are.
    pub fn by_kind(&self) -> impl Iterator<Item = (&'static str, String)> {
        self.controls.chunk_by(|one, other| one.kind == other.kind).filter_map(|alike| {
            let texts: Vec<&str> = alike.iter().map(|one| one.text.as_str()).collect();
            Some((alike.first()?.kind.words(), texts.join("; ")))
        })
    }
}
