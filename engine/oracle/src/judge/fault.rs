//! What may go wrong, by names that whoever compares can make as well.

use std::fmt;

/// Something that goes wrong. Places are keys as [`super::Judged::key`] writes them.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fault {
    /// Something that a place needs is not surely so.
    Need {
        /// The place; `start` for what nobody can see at a start by hand.
        at: String,
        /// The condition.
        condition: String,
        /// Its permitted values, a bit each.
        set: u64,
    },
    /// A rule may hold after an act, or surely holds at the start.
    Rule {
        /// Its name.
        rule: String,
        /// The place of the act, or `start`.
        at: String,
    },
    /// Something else than ending what was found broken.
    Unmended(String),
    /// What is not surely so at done.
    Promise(String),
    /// What no answer of a question covers.
    Unanswered(String),
    /// No plan to leave the machine from here.
    Stop(String),
    /// No plan from a machine of which nothing is known.
    Universal,
    /// After an interruption here, what is relied on is not known any more.
    Resume {
        /// The place.
        at: String,
        /// The condition.
        condition: String,
    },
}

/// As `need(fit [] body, cover)`: what hand-written expectations say; a need without its permitted values.
impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Need { at, condition, set: _ } => write!(f, "need({at}, {condition})"),
            Self::Rule { rule, at } => write!(f, "rule({rule}, {at})"),
            Self::Unmended(at) => write!(f, "unmended({at})"),
            Self::Promise(condition) => write!(f, "promise({condition})"),
            Self::Unanswered(at) => write!(f, "unanswered({at})"),
            Self::Stop(at) => write!(f, "stop({at})"),
            Self::Universal => f.write_str("universal"),
            Self::Resume { at, condition } => write!(f, "resume({at}, {condition})"),
        }
    }
}
