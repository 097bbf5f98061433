//! A compiled procedure as data, and what a certificate of it says: no meaning, which is defined in `FORM.md`.
//!
//! Whoever writes a second program about compiled procedures depends on this member and on nothing else.

mod certificate;
mod form;
mod hash;

pub use certificate::{CERTIFICATE_VERSION, Care, Certificate, ClaimedSet, PlaceSets, PlanStep, Row, View};
pub use form::{
    Act, Cube, Duty, Effect, EffectKind, FORM_VERSION, Form, Guard, Loss, Node, Outcome, Part, Promise, Role,
    Rule, Settling, Standing, Takes, Var, Wait,
};
pub use hash::hash;
