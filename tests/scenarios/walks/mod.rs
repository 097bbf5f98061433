//! Walks: gates, records, interruptions.

mod driver;
mod fasteners;
mod figures;
mod gates;
mod interrupted;
mod labels;
mod program;
mod second;
mod whole;

pub(crate) use crate::support::run::root;
pub(crate) use driver::{Driver, begin};
