//! Walks: gates, records, interruptions.

pub(crate) mod driver;
mod gates;
mod interrupted;
mod program;
mod whole;
