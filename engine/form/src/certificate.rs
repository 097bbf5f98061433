//! The certificate: sets of records for every place. Every field is explained in `FORM.md`, section 6.

use crate::form::Form;
use serde::{Deserialize, Serialize};

/// Version of this data and of what `FORM.md` says that it means.
pub const CERTIFICATE_VERSION: u32 = 2;

/// A claim about every state that a form can come to.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Certificate {
    /// [`CERTIFICATE_VERSION`].
    pub version: u32,
    /// The procedure's name.
    pub procedure: String,
    /// Hash of what a person reads and may do: what an approval binds.
    pub content: String,
    /// Version of the program that compiled and proved it.
    pub program: String,
    /// [`crate::hash`] of the form.
    pub form: String,
    /// What it rests on, in words.
    pub assumes: Vec<String>,
    /// Plans for stopping, by number.
    pub plans: Vec<Vec<PlanStep>>,
    /// The views; the first one's sets have plans.
    pub views: Vec<View>,
}

impl Certificate {
    /// What these plans and views claim of a form; whose it is, and what it rests on, is for those to say who keep it.
    #[must_use]
    pub fn of(form: &Form, plans: Vec<Vec<PlanStep>>, views: Vec<View>) -> Self {
        Self {
            version: CERTIFICATE_VERSION,
            procedure: form.procedure.clone(),
            content: String::new(),
            program: String::new(),
            form: String::new(),
            assumes: Vec::new(),
            plans,
            views,
        }
    }
}

/// A step of a plan for stopping.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum PlanStep {
    /// An act: an index into the form's `restoring`.
    Act(u32),
    /// A wait for a variable, in milliseconds.
    Wait(u32, u64),
    /// A look at a variable; for each set of values what is then done.
    Look(u32, Vec<(u64, Vec<PlanStep>)>),
}

/// What is claimed of some of the variables.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct View {
    /// The variables, in order.
    pub vars: Vec<u32>,
    /// Blocks of which some items only are followed, in order, with those items, one bit each.
    pub items: Vec<(u32, u32)>,
    /// What counts in a set, by number.
    pub care: Vec<Care>,
    /// What sets say, by number.
    pub rows: Vec<Row>,
    /// The places, in order.
    pub places: Vec<PlaceSets>,
}

/// What counts in a set. Lists are in order.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Care {
    /// Variables of which the values and clocks are as the row says, not less.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub exact: Vec<u32>,
    /// Variables of which it counts whether they are opened.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub opened: Vec<u32>,
    /// Variables of which it counts whether they are written.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub wrote: Vec<u32>,
    /// Entries of the form's `settling` of which it counts whether only looks count.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub look_only: Vec<u32>,
}

/// What a set says. Lists are in order.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Row {
    /// Variables with the values that they may have, where those are not all.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub values: Vec<(u32, u64)>,
    /// Entries of the form's `settling` with the time that has passed, where any has.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub clocks: Vec<(u32, u64)>,
    /// Variables opened.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub opened: Vec<u32>,
    /// Variables written.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub wrote: Vec<u32>,
    /// Entries of the form's `settling` of which only looks count.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub look_only: Vec<u32>,
    /// Rules found broken.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub found: Vec<u32>,
}

/// The sets at a place; in a file a row of these five, as there are many.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(from = "InFile", into = "InFile")]
pub struct PlaceSets {
    /// The node.
    pub node: u32,
    /// Items done.
    pub items: u32,
    /// Items offered again.
    pub again: u32,
    /// How far from an end.
    pub rank: u32,
    /// Its sets.
    pub sets: Vec<ClaimedSet>,
}

type InFile = (u32, u32, u32, u32, Vec<ClaimedSet>);

impl From<InFile> for PlaceSets {
    fn from((node, items, again, rank, sets): InFile) -> Self {
        Self { node, items, again, rank, sets }
    }
}

impl From<PlaceSets> for InFile {
    fn from(PlaceSets { node, items, again, rank, sets }: PlaceSets) -> Self {
        (node, items, again, rank, sets)
    }
}

/// A set, as indices: into [`View::rows`], into [`View::care`], and for a plan into [`Certificate::plans`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct ClaimedSet(pub u32, pub u32, pub Option<u32>);
