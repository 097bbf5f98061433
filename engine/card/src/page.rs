//! One page model, from which every card is made.

mod approval;
mod build;
mod chosen;
mod fasten;
mod figures;
mod front;
mod hazards;
mod kinds;
mod model;
mod questions;
mod reach;
mod scope;
mod signal;
mod step;
mod steps;

pub(crate) use hazards::sentence;
pub(crate) use scope::value_words;

pub use approval::{Approval, CardApproval, ProofNote};
pub use build::{PageError, TextFault, build, build_for};
pub use chosen::{ChoiceError, Chosen};
pub use model::{
    Before, Figure, Identity, Listing, Page, Person, Question, Restoration, Row, StopPlan, Table, Value,
    Variant, Warning, WorkType, Working,
};
pub use signal::SignalWord;
pub use step::{Alert, Detail, Diagram, Dot, PassRow, Route, StepBox};
