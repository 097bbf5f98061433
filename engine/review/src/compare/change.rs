//! One difference between two revisions, as data.

use super::what::What;
use document::Place;

/// Which way a difference goes for the person at the machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Class {
    /// Something that held a person back or warned them does so less.
    Weakened,
    /// It does so more.
    Strengthened,
    /// Neither.
    Neutral,
}

impl Class {
    /// The word people read.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Weakened => "weakened",
            Self::Strengthened => "strengthened",
            Self::Neutral => "neutral",
        }
    }
}

/// What a difference is about; the first comes first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    /// Gates, waits, limits, verifications, warnings, rules, order, states.
    Safety,
    /// Figures and things to have at hand.
    Figures,
    /// Words.
    Wording,
}

impl Group {
    /// The word people read.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Safety => "safety",
            Self::Figures => "figures",
            Self::Wording => "wording",
        }
    }
}

/// One difference.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// What it is about.
    pub group: Group,
    /// Which way it goes.
    pub class: Class,
    /// What it is, the same for all of its kind.
    pub what: What,
    /// One sentence that stands alone.
    pub message: String,
    /// Where it stands in the old revision; none for what is new.
    pub old: Option<Place>,
    /// Where it stands in the new revision; none for what is gone.
    pub new: Option<Place>,
    /// A run to the state it speaks of, a line a move; empty where it speaks of none.
    pub trace: Vec<String>,
}

impl Change {
    pub(super) fn new(group: Group, class: Class, what: What, message: String) -> Self {
        Self { group, class, what, message, old: None, new: None, trace: Vec::new() }
    }

    pub(super) fn safety(class: Class, what: What, message: String) -> Self {
        Self::new(Group::Safety, class, what, message)
    }

    pub(super) fn at(mut self, old: Option<Place>, new: Option<Place>) -> Self {
        self.old = old;
        self.new = new;
        self
    }
}
