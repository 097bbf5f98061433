//! What may go wrong.

/// Something that goes wrong.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fault {
    /// A precondition of a place: the condition and its permitted values.
    Need {
        /// The place.
        at: String,
        /// The condition.
        condition: String,
        /// Its permitted values.
        set: u64,
    },
    /// A rule, by leaving a place or by the start.
    Rule {
        /// Its name.
        rule: String,
        /// The place that is left.
        by: Option<String>,
    },
    /// A promise at done, by its condition.
    Promise(String),
    /// A question without an answer.
    Unanswered(String),
    /// No way to leave the machine from a place.
    Stop(String),
    /// An interruption at a place after which nobody can tell a condition that is relied on.
    Resume {
        /// The place.
        at: String,
        /// The condition.
        condition: String,
    },
}
