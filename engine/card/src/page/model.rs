//! The page as plain data, part by part in the order in which it is read.

use super::pieces::{Question, Value, Warning};
use super::step::StepBox;
use super::stop::Stop;
use crate::map::Map;
use crate::mark::Code;
use crate::prose::Prose;
use serde::Serialize;

/// One procedure as every card shows it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Page {
    /// What this is, and whether it is approved.
    pub identity: Identity,
    /// What was proved; none if nothing was.
    pub checked: Option<String>,
    /// Whose instructions come first.
    pub defer: String,
    /// What it is for.
    pub purpose: Prose,
    /// What it covers and what not.
    pub scope: Prose,
    /// Who does it.
    pub people: Vec<Person>,
    /// About how long it takes.
    pub time: String,
    /// How the card is used while working.
    pub level_of_use: String,
    /// Tools, supplies, spares and protective equipment.
    pub needs: Vec<Listing>,
    /// All hazards, gravest first.
    pub hazards: Vec<Warning>,
    /// The types of work that steps refer to.
    pub work: Vec<WorkType>,
    /// What is asked before step 1.
    pub before: Before,
    /// The figures that methods work out.
    pub figures: Vec<Figure>,
    /// How looks are answered, in all steps.
    pub looks: String,
    /// The steps in written order.
    pub steps: Vec<StepBox>,
    /// How the machine is left where work stops; none where the equipment does not say in which state.
    pub stop: Option<Stop>,
    /// What to do if something goes wrong.
    pub emergency: Option<Prose>,
    /// How the machine is handed on.
    pub restoration: Restoration,
    /// The line that ends the card.
    pub complete: String,
    /// Who signs.
    pub signatures: Vec<String>,
    /// The steps with every way from one to another.
    pub map: Map,
}

/// What this is, and whether it is approved.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Identity {
    /// What people call the procedure.
    pub title: String,
    /// Its name.
    pub id: String,
    /// Its revision.
    pub revision: u32,
    /// The day from which it holds.
    pub effective: Option<String>,
    /// Who wrote it.
    pub author: Option<String>,
    /// What people call the equipment.
    pub equipment: String,
    /// The equipment's name.
    pub equipment_id: String,
    /// The equipment's revision.
    pub equipment_revision: u32,
    /// The machine the card was made for, where it was made for one: "hose 4 m, tip fine".
    pub machine: Option<String>,
    /// The hash of the content, as the caller gave it.
    pub content: String,
    /// "NOT APPROVED" or who approved it and when.
    pub standing: String,
    /// Whether `standing` is an approval.
    pub approved: bool,
    /// The text by which a card in hand is known.
    pub mark: String,
    /// The same as a square code; none if it is too long for one.
    pub code: Option<Code>,
}

/// People of one role.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Person {
    /// How many.
    pub count: u32,
    /// The role, in words.
    pub role: String,
    /// What each must be.
    pub must_be: Option<String>,
}

/// Things to have at hand; an empty list is printed as "None".
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Listing {
    /// What kind of things.
    pub title: String,
    /// Each in the equipment's words.
    pub items: Vec<String>,
}

/// A type of work with what it always needs.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct WorkType {
    /// Its name in words.
    pub name: String,
    /// What must hold whenever it is done, as statements.
    pub needs: Vec<String>,
    /// Protective equipment to wear.
    pub wear: Vec<String>,
    /// Who does it, how many at least, and who verifies it, where it asks for people.
    pub people: Vec<String>,
    /// The hazard in words.
    pub hazard: Option<String>,
}

/// What is asked before step 1.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Before {
    /// The variants of the machine that this procedure depends on.
    pub variants: Vec<Variant>,
    /// What somebody looks at, each with its own tick: what the procedure requires, and what is as usual where it relies on it.
    pub questions: Vec<Question>,
    /// What nobody can look at then and is asked of the record, each with its own tick.
    pub by_record: Vec<Question>,
    /// What it requires of conditions that nobody can see: only a procedure that performs this one makes sure of it.
    pub unseen: Vec<String>,
    /// What may be one way or another.
    pub unknown: Vec<String>,
}

/// A way in which machines differ, to be marked.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Variant {
    /// What differs.
    pub name: String,
    /// The values to choose from.
    pub values: Vec<String>,
}

/// A figure that a method worked out, for every machine.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Figure {
    /// Its name in words.
    pub name: String,
    /// The values.
    pub value: Value,
    /// What it was worked out by; none for a plain figure.
    pub working: Option<Working>,
}

/// How a figure was worked out.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Working {
    /// The method's name.
    pub method: String,
    /// The formula, in the names of the inputs.
    pub formula: String,
    /// The inputs in the method's order, each with its value or values.
    pub inputs: Vec<(String, String)>,
    /// Which machine the example is for; none if it holds for all.
    pub example_for: Option<String>,
    /// The working, a line a step.
    pub example: Vec<String>,
    /// Where the formula comes from and when it holds.
    pub source: String,
}

/// How the machine is handed on.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Restoration {
    /// What the procedure promises or its acts had their hands on, looked at one by one.
    pub questions: Vec<Question>,
    /// The same of what nobody can look at then: so by the record.
    pub by_record: Vec<String>,
}
