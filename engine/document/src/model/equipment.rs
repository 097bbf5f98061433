//! The equipment document: what can be true of the machine, and what must never be.

use super::cube::any_of;
use super::{Amount, Cube, Leaves, Name, SeenBy, Stated, While};
use calc::quantity::{Duration, Quantity, System, Unit};
use indexmap::IndexMap;
use serde::Deserialize;

/// What can be true of one kind of machine, what must never be, and what is needed to work on it.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Equipment {
    /// The equipment's name, which procedures refer to.
    pub equipment: Name,
    /// What people call it.
    pub title: String,
    /// Counts up with every issued change.
    pub revision: u32,
    /// Printed on every card and shown at the start of every walk: whose instructions come first.
    pub defer: Option<String>,
    /// In which units figures are shown, beside the one written; in that alone without it.
    pub units: Option<Units>,
    /// Whose rules of writing count where the standards differ.
    #[serde(default)]
    pub writing: WritingScheme,
    /// What a thing is called, and other words for it that no text may use.
    #[serde(default)]
    pub terms: IndexMap<String, Vec<String>>,
    /// Findings about the wording of this document that are accepted: the code, and the reason.
    #[serde(default)]
    pub accept: IndexMap<String, String>,
    /// Hazardous energy that procedures lock out of the machine before service.
    #[serde(default)]
    pub energy: IndexMap<Name, EnergySource>,
    /// Ways in which machines of this kind differ; asked at the start of a walk, never defaulted.
    #[serde(default)]
    pub variants: IndexMap<Name, Vec<String>>,
    /// What can be true of the machine.
    pub conditions: IndexMap<Name, Condition>,
    /// Combinations that must not occur in any state, in between steps too.
    #[serde(default)]
    pub never: IndexMap<Name, Rule>,
    /// Types of work; a step tagged with one inherits all of it.
    #[serde(default)]
    pub work: IndexMap<Name, Work>,
    /// Reusable steps, also the vocabulary of make-safe plans.
    #[serde(default)]
    pub actions: IndexMap<Name, Action>,
    /// What can hurt a person or do damage.
    #[serde(default)]
    pub hazards: IndexMap<Name, Hazard>,
    /// The state in which work may be stopped and left.
    pub safe_state: Option<Cube>,
    /// The role that allows an act to be done otherwise than written, and that releases the machine for use again after
    /// work on it was stopped. Without it the depot says which.
    pub release: Option<Name>,
    /// Roles of people, by name, with what each must be.
    #[serde(default)]
    pub roles: IndexMap<Name, String>,
    /// Tools by name, with the words printed on the card.
    #[serde(default)]
    pub tools: IndexMap<Name, String>,
    /// Supplies by name, with the words printed on the card.
    #[serde(default)]
    pub supplies: IndexMap<Name, String>,
    /// Spares by name, with the words printed on the card.
    #[serde(default)]
    pub spares: IndexMap<Name, String>,
    /// Protective equipment by name, with the words printed on the card.
    #[serde(default)]
    pub wear: IndexMap<Name, String>,
    /// Measuring instruments by name.
    #[serde(default)]
    pub instruments: IndexMap<Name, Instrument>,
    /// Groups of fasteners with their layout and order.
    #[serde(default)]
    pub fasteners: IndexMap<Name, Fasteners>,
    /// Figures worked out by a method.
    #[serde(default)]
    pub amounts: IndexMap<Name, Amount>,
}

/// Whose rules of writing count where the standards differ.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum WritingScheme {
    /// ASD-STE100: at most 20 words in an instruction; `must`, not `shall`; a warning may open with a condition.
    #[default]
    Ste,
    /// DOE-STD-1029 family: at most 25 words everywhere; `shall` is a requirement; a warning holds no condition.
    Doe,
}

/// One source of hazardous energy, and what shows that it is under control.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct EnergySource {
    /// Its type and magnitude, with a unit: `Mains, 400 V`.
    pub source: String,
    /// What holds when it is isolated.
    pub isolated: Cube,
    /// What holds when locks or tags are on its isolating devices. Left out where whoever works has the device within reach
    /// and in sight all the time, as with a plug (29 CFR 1910.147(a)(2)(iii)(A), memory).
    #[serde(default)]
    pub locked: Cube,
    /// What holds when the energy that stays behind has been let out.
    #[serde(default)]
    pub stored: Cube,
}

/// One thing that can be true of the machine, with the values it can have.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Condition {
    /// All values the condition can have; one holds at a time.
    #[cfg_attr(test, schemars(length(min = 2, max = 64)))]
    pub values: Vec<String>,
    /// What people call it; without one, its name with spaces.
    pub label: Option<String>,
    /// The question that finds out. A condition with `settles` and no question can only be waited for.
    pub ask: Option<Ask>,
    /// How it can be found out. Without it: by looking where there is a question, by nobody where it settles without one,
    /// by measuring otherwise.
    pub seen_by: Option<SeenBy>,
    /// It can be looked at only while all of this holds.
    #[serde(default)]
    pub seen_when: Cube,
    /// The value it must have again at the end, unless a procedure promises otherwise.
    pub normal: Option<String>,
    /// How long after it was last looked at, or an act made it so, it stops counting (`15 min`). A handover ends it anyway.
    pub lapses: Option<Lapse>,
    /// Whether it is after a handover or a stop as it was before, without being looked at again.
    #[serde(default)]
    pub keeps: bool,
    /// How one value gives way to another by time alone.
    pub settles: Option<Settles>,
    /// When an act makes all of this true, or all of any of several, what was known of this condition is lost. Where it settles under
    /// `while`, this feeds it: as long as it may be so, nothing that is found of the condition lasts.
    #[serde(default, deserialize_with = "any_of")]
    #[cfg_attr(test, schemars(with = "super::cube::AnyOf"))]
    pub lost_when: Vec<Cube>,
}

/// The question that finds a condition out.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(untagged)]
pub enum Ask {
    /// One question; yes means the first value listed.
    First(String),
    /// A question for each value; yes means that value.
    ByValue(IndexMap<String, String>),
}

/// After how long what was confirmed stops counting: a time such as `15 min`.
///
/// A handover and an interruption that nobody announced (power lost, program ended) end it at once.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(transparent)]
pub struct Lapse(
    /// The time as written, read.
    pub Stated<Duration>,
);

/// A value that gives way to another by time alone.
///
/// It may do so at any moment and has done so once `after` has passed since the condition was last set.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Settles {
    /// The value that gives way.
    pub from: String,
    /// The value that takes its place.
    pub to: String,
    /// Time after which it has surely done so.
    pub after: Stated<Duration>,
    /// The time counts only while all of this holds; `none` where the cause is an event that nothing sustains.
    #[serde(rename = "while")]
    pub holds: Option<While>,
}

/// A combination that must not occur in any state.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Rule {
    /// The combination.
    pub when: Cube,
    /// What it exposes people to.
    pub hazard: Name,
    /// Why, in words for people.
    pub why: Option<String>,
    /// The role that releases each act which may bring the combination about, at a hold point of its own before it. With
    /// it the combination is no prohibition: it may come about once it was released.
    pub released_by: Option<Name>,
}

/// A type of work: a step tagged with it inherits all of this.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Work {
    /// What must hold before the step.
    #[serde(default)]
    pub requires: Cube,
    /// Protective equipment to wear.
    #[serde(default)]
    pub wear: Vec<Name>,
    /// What the work exposes people to.
    pub hazard: Option<Name>,
    /// The role that does it, where not everyone may.
    pub by: Option<Name>,
    /// At least how many people do it together.
    #[cfg_attr(test, schemars(range(min = 1)))]
    pub people: Option<u32>,
    /// The role that verifies it, independently of who did it.
    pub verified_by: Option<Name>,
}

/// A reusable step of the equipment.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Action {
    /// What to do, imperative.
    #[serde(rename = "do")]
    pub act: String,
    /// Type of work it is.
    pub work: Option<Name>,
    /// What must hold before it.
    #[serde(default)]
    pub requires: Cube,
    /// What is true after it, in the order in which it comes about.
    #[serde(default)]
    pub leaves: Leaves,
    /// What it makes uncertain.
    #[serde(default)]
    pub disturbs: Vec<Name>,
    /// Tools it takes.
    #[serde(default)]
    pub tools: Vec<Name>,
    /// Whether plans for stopping may use it.
    #[serde(default)]
    pub restores: bool,
}

/// What can hurt a person or do damage.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Hazard {
    /// The worst credible outcome.
    pub worst: Worst,
    /// How certain it is if nothing is done.
    pub certainty: Certainty,
    /// What the danger is.
    pub hazard: String,
    /// What happens.
    pub consequence: String,
    /// How to avoid it: a standing directive.
    pub avoid: String,
}

/// The worst credible outcome of a hazard.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Worst {
    /// Damage to things only.
    Damage,
    /// Minor injury.
    Minor,
    /// Moderate injury.
    Moderate,
    /// Serious injury.
    Serious,
    /// Death.
    Death,
}

/// How certain the outcome is if the hazard is not avoided.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Certainty {
    /// It could happen.
    Could,
    /// It will happen.
    Will,
}

/// A measuring instrument.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Instrument {
    /// What people call it; without one, its name with spaces.
    pub label: Option<String>,
    /// Unit it shows.
    pub unit: Stated<Unit>,
    /// Smallest step it shows, with its unit.
    pub resolution: Stated<Quantity>,
    /// Expanded uncertainty of a reading, with its unit.
    pub uncertainty: Option<Stated<Quantity>>,
}

/// A group of fasteners: where they are and how they are tightened.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Fasteners {
    /// How they lie.
    pub layout: LayoutKind,
    /// How many. A line and a circle need it; elsewhere it is compared with the places that there are.
    pub count: Option<u32>,
    /// Rows of a grid, or down the side of an edge.
    pub rows: Option<u32>,
    /// Columns of a grid, or along the top of an edge.
    pub columns: Option<u32>,
    /// Distance from one to the next, with its unit.
    pub pitch: Option<Stated<Quantity>>,
    /// Distance from row to row, if it is another, with its unit.
    pub row_pitch: Option<Stated<Quantity>>,
    /// Diameter of the circle on which they sit, with its unit.
    pub diameter: Option<Stated<Quantity>>,
    /// Where each sits, seen from outside, if the layout is free.
    pub positions: Option<Vec<FastenerPlace>>,
    /// The rule of the order in which they are tightened.
    pub order: TighteningOrder,
    /// The order written out, by the numbers of the fasteners; it must keep the rule.
    pub sequence: Option<Vec<u32>>,
    /// How far each goes before any is tightened.
    pub seat: Option<String>,
    /// Tightening torque, with its unit.
    pub torque: Option<Stated<Quantity>>,
    /// Shares of the torque, rising to 100 %: a pass for each. Without them one pass.
    pub stages: Option<Vec<Stated<Quantity>>>,
    /// Whether each is gone over once more at the full torque, round in turn, until none moves any more.
    pub final_pass: Option<bool>,
    /// A remark printed with the diagram.
    pub note: Option<String>,
}

/// How fasteners lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum LayoutKind {
    /// In one line.
    Line,
    /// In rows and columns.
    Grid,
    /// Round the edge of a rectangle, numbered clockwise from the top left.
    Edge,
    /// Evenly round a circle, numbered clockwise from the top.
    Circle,
    /// Each in its own place, numbered as listed.
    Free,
}

/// Where one fastener of a free layout sits.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct FastenerPlace {
    /// To the right, with its unit.
    pub x: Stated<Quantity>,
    /// Downwards, with its unit.
    pub y: Stated<Quantity>,
}

/// The order in which fasteners are tightened.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum TighteningOrder {
    /// From the middle outwards, sides alternating.
    CentreOut,
    /// Across the circle or rectangle.
    Crosswise,
    /// Round in turn.
    Circular,
    /// As `sequence` has it; there is no other rule.
    Authored,
}

/// Units in which figures are shown, beside the one written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Units {
    /// Metric.
    Metric,
    /// US customary.
    Us,
    /// Both.
    Both,
}

impl Equipment {
    /// How figures are shown.
    #[must_use]
    pub fn system(&self) -> System {
        match self.units {
            None => System::Source,
            Some(Units::Metric) => System::Metric,
            Some(Units::Us) => System::Us,
            Some(Units::Both) => System::Both,
        }
    }
}
