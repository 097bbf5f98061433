//! Walks: gates, records, interruptions.

mod driver;
mod gates;
mod interrupted;
mod program;
mod whole;

pub(crate) use driver::root;
