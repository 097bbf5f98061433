//! A reading that is asked for.

use calc::quantity::Range;

/// A reading that is due.
#[derive(Clone, Debug)]
pub struct Reading {
    /// What is measured.
    pub what: String,
    /// With which instrument.
    pub instrument: String,
    /// Unit of the instrument.
    pub unit: String,
    /// What is accepted.
    pub range: Option<Range>,
    /// The same in words, in the units that the equipment asks for.
    pub accepted: Option<String>,
    /// Which attempt, from 1.
    pub attempt: u32,
    /// How many there are.
    pub attempts: u32,
    /// Whether nobody may be able to tell.
    pub may_not_tell: bool,
}
