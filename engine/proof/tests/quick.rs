//! Quick.
#[path = "suite/plans.rs"]
mod plans;
