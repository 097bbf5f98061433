//! One page model, from which every card is made.

mod act;
mod approval;
mod build;
mod chosen;
mod fasten;
mod fault;
mod figures;
mod front;
mod hazards;
mod kinds;
mod left_out;
mod model;
mod pieces;
mod plan;
mod proved;
mod questions;
mod reach;
mod scope;
mod signal;
mod step;
mod steps;
mod stop;
mod taking_up;

pub(crate) use hazards::sentence;
pub(crate) use scope::{people_of, value_words};

pub use act::ActBox;
pub use approval::{Approval, CardApproval};
pub use build::{act_of, build, build_for, stop_of};
pub use chosen::{ChoiceError, Chosen};
pub use fault::{PageError, TextFault};
pub use front::NOT_BY_HAND;
pub use model::{Before, Figure, Identity, Listing, Page, Person, Restoration, Variant, WorkType, Working};
pub use pieces::{Question, Row, Table, Value, Warning};
pub use plan::{PlanLine, PlanLineKind};
pub use proved::ProofNote;
pub use signal::SignalWord;
pub use step::{Alert, Detail, Diagram, Dot, PassRow, Route, StepBox};
pub use stop::{Stop, StopRow};
