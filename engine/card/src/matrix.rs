//! The hazard and control matrix: every hazard with each step that exposes to it and each control found there.
//!
//! A step exposes to a hazard that it warns of, that its type of work names, or when what it does brings about a part of
//! a rule for that hazard. Controls are found, not judged: whether they are enough is for the safety officer. A gate, a
//! wait or a hold point counts for a step only if every way to the step goes through it, which is looked up in the
//! graph of the machine. What a rule or a precondition is worth comes from the proof, through [`Verdicts`]: this member
//! does not prove.

mod build;
mod csv;
mod exposure;
mod html;
mod model;
mod text;

pub use build::build;
pub use csv::csv;
pub use html::html;
pub(crate) use html::values;
pub use model::{
    Control, ControlKind, Exposure, HazardRow, INTRODUCTION, Matrix, RuleLine, Verdict, Verdicts,
};
pub(crate) use text::hazards;
pub use text::text;

#[cfg(test)]
mod tests;
