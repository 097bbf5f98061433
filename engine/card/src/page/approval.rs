//! What the caller knows of a procedure and the documents do not say.

/// The content and its approval.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CardApproval {
    /// The hash of the content, printed as given.
    pub content: String,
    /// Whether this very content is approved.
    pub approval: Approval,
}

/// Whether a content is approved.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Approval {
    /// No one has approved this content.
    NotApproved,
    /// The same, on a card for training.
    Training,
    /// Approved.
    Approved {
        /// Who approved it.
        by: String,
        /// The day.
        on: String,
        /// The last day on which it holds.
        until: String,
        /// The hash of the certificate of what was proved then, where one was kept.
        certificate: Option<String>,
    },
    /// There was an approval, and why it does not count: "withdrawn", "expired".
    NoLonger(String),
}

impl CardApproval {
    pub(super) fn words(&self) -> String {
        match &self.approval {
            Approval::NotApproved => "NOT APPROVED".to_owned(),
            Approval::Training => "FOR TRAINING ONLY, NOT APPROVED".to_owned(),
            Approval::Approved { by, on, until, certificate: _ } => {
                format!("Approved by {by} on {on}, valid until {until}")
            }
            Approval::NoLonger(why) => format!("NOT APPROVED: {why}"),
        }
    }

    pub(super) fn is_approval(&self) -> bool {
        matches!(self.approval, Approval::Approved { .. })
    }
}
