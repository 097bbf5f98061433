//! A compiled procedure as data, and what a certificate of it says: no meaning, which is defined in `FORM.md`.
//!
//! Whoever writes a second program about compiled procedures depends on this member and on nothing else.

mod certificate;
mod cover;
mod form;
mod hash;
mod record;
mod shape;

pub use certificate::{CERTIFICATE_VERSION, Care, Certificate, ClaimedSet, PlaceSets, PlanStep, Row, View};
pub use cover::{covers, held_back, homes, left_out, looks, outside, passed, question, speaks_of};
pub use form::{
    Act, Cube, Duty, Effect, EffectKind, FORM_VERSION, Form, Guard, Loss, Node, Outcome, Part, Promise, Role,
    Rule, Settling, Standing, Takes, Var, Wait,
};
pub use hash::hash;
pub use record::{Place, Record};
pub use shape::{blocks, fits, well_formed};
