//! The procedure document: what a trainer writes.

use super::{Amount, Cube, Name, Stated, Step};
use calc::quantity::Duration;
use indexmap::IndexMap;
use serde::Deserialize;

/// A procedure: a graph of steps that has itself the shape of a step.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Procedure {
    /// The procedure's name.
    pub procedure: Name,
    /// What people call it.
    pub title: String,
    /// The equipment it works on.
    pub equipment: Name,
    /// Counts up with every issued change.
    pub revision: u32,
    /// The day this revision takes effect, `2026-11-02`.
    #[cfg_attr(test, schemars(regex(pattern = r"^\d{4}-\d{2}-\d{2}$")))]
    pub effective: Option<String>,
    /// Who wrote it.
    pub author: Option<String>,
    /// What it is for.
    pub purpose: String,
    /// What it covers and what it does not.
    pub scope: String,
    /// Who does it: how many people of each role.
    pub performers: IndexMap<Name, u32>,
    /// About how long it takes, with its unit.
    pub time: Stated<Duration>,
    /// How the card is used while working.
    pub level_of_use: LevelOfUse,
    /// Tools, or the word `none`.
    pub tools: Listed,
    /// Supplies, or the word `none`.
    pub supplies: Listed,
    /// Spares, or the word `none`.
    pub spares: Listed,
    /// Protective equipment, or the word `none`.
    pub wear: Listed,
    /// What must hold before step 1; asked and confirmed.
    #[serde(default)]
    pub requires: Cube,
    /// What holds on every way to done.
    #[serde(default)]
    pub leaves: Cube,
    /// Figures worked out by a method, for this procedure alone.
    #[serde(default)]
    pub amounts: IndexMap<Name, Amount>,
    /// What to do if something goes wrong, in Markdown.
    pub emergency: Option<String>,
    /// Findings about wording and completeness that are accepted here: the code, and the reason.
    #[serde(default)]
    pub accept: IndexMap<String, String>,
    /// The steps in written order.
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub steps: Vec<Step>,
}

/// A list of names, or the word `none`: nothing needed is stated, never implied.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(untagged)]
pub enum Listed {
    /// Nothing is needed.
    None(NoneWord),
    /// These are needed.
    Names(#[cfg_attr(test, schemars(length(min = 1)))] Vec<Name>),
}

impl Listed {
    /// The names; none for `none`.
    #[must_use]
    pub fn names(&self) -> &[Name] {
        match self {
            Self::None(_) => &[],
            Self::Names(names) => names,
        }
    }
}

/// The word `none`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum NoneWord {
    /// Nothing.
    None,
}

/// How the card is used while working.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum LevelOfUse {
    /// In hand, step by step.
    Continuous,
    /// At hand, looked at as needed.
    Reference,
    /// Read beforehand.
    Information,
}
