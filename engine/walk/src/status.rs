//! Where a walk stands as a whole.

use serde::{Deserialize, Serialize};

/// Where a walk stands as a whole.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Status {
    /// Nothing but its beginning is recorded: variants and conditions before step 1 are being asked.
    NotStarted,
    /// A step is being done.
    InProgress,
    /// A timer runs.
    Waiting,
    /// A hold point waits for its release.
    OnHold,
    /// A done step waits for a second person.
    AwaitingVerification,
    /// Paused, or ended without notice.
    Interrupted,
    /// Work was stopped.
    Stopped,
    /// The last step is done and all promises are kept.
    Completed,
    /// The same, with at least one act done otherwise than written.
    CompletedWithDeviation,
}

impl Status {
    /// The words people read.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::NotStarted => "not started",
            Self::InProgress => "in progress",
            Self::Waiting => "waiting",
            Self::OnHold => "on hold",
            Self::AwaitingVerification => "awaiting verification",
            Self::Interrupted => "interrupted",
            Self::Stopped => "stopped",
            Self::Completed => "completed",
            Self::CompletedWithDeviation => "completed with deviation",
        }
    }

    /// Whether nothing more can be recorded.
    #[must_use]
    pub fn is_ended(self) -> bool {
        matches!(self, Self::Stopped | Self::Completed | Self::CompletedWithDeviation)
    }
}
