//! Why something a person says is not taken.

use std::fmt;

/// Why an input is not taken. It is not recorded.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusal {
    /// The reason.
    pub reason: String,
    /// What would open the gate.
    pub opens: String,
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}. {}.", self.reason, self.opens)
    }
}

impl std::error::Error for Refusal {}

impl Refusal {
    pub(crate) fn new(reason: impl Into<String>, opens: impl Into<String>) -> Self {
        Self { reason: reason.into(), opens: opens.into() }
    }
}

pub(crate) fn refuse<T>(reason: impl Into<String>, opens: impl Into<String>) -> Result<T, Refusal> {
    Err(Refusal::new(reason, opens))
}
