//! A card in hand against what holds now.

use super::Mark;
use serde::Serialize;
use std::fmt;

/// What differs between a card and what holds now.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Difference {
    /// The card is of an earlier revision.
    Older {
        /// The revision that holds now.
        now: u32,
    },
    /// The card is of a later revision: the documents here are behind.
    Newer {
        /// The revision here.
        here: u32,
    },
    /// The revision is the same and the content is another: the procedure, its equipment or a procedure it performs
    /// was changed without a new revision of this procedure.
    Content,
}

/// Whether a card in hand may be worked by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Verdict {
    /// What differs; none if the card is current.
    pub differs: Option<Difference>,
    /// Whether the content that holds now is approved.
    pub approved: bool,
}

impl Verdict {
    /// Whether the card is the current and approved one.
    #[must_use]
    pub fn holds(self) -> bool {
        self.differs.is_none() && self.approved
    }
}

impl Mark {
    /// Compares a card's mark with the mark of the same procedure now.
    #[must_use]
    pub fn compare(&self, now: &Self, approved: bool) -> Verdict {
        let differs = if self.revision < now.revision {
            Some(Difference::Older { now: now.revision })
        } else if self.revision > now.revision {
            Some(Difference::Newer { here: now.revision })
        } else if self.content == now.content {
            None
        } else {
            Some(Difference::Content)
        };
        Verdict { differs, approved }
    }
}

impl fmt::Display for Difference {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Older { now } => write!(f, "its revision: revision {now} holds now"),
            Self::Newer { here } => {
                write!(f, "its revision: the documents read here have revision {here}, which is behind the card")
            }
            Self::Content => f.write_str(
                "its content: the revision is the same, and the procedure, its equipment or a procedure it performs \
                 was changed after the card was made",
            ),
        }
    }
}
