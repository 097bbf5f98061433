//! Why a certificate is refused, with place and state.
use form::Place;

/// What is wrong, in words that name variables and rules as the form does.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Reason {
    /// The data means nothing, or is of another form.
    Malformed(String),
    /// No view speaks of something, or a view must not leave out an item.
    Views(String),
    /// What a move or an interruption leads to is in no set there.
    NotClaimed(String),
    /// Something that has to hold may not hold, or has to be the same of all records of a set and may not be.
    Violated(String),
    /// There is no good plan for stopping.
    Plan(String),
}

/// A certificate is not right, or cannot be seen to be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusal {
    /// The view, if it is one view's fault.
    pub view: Option<usize>,
    /// The place, where there is one.
    pub place: Option<Place>,
    /// The name of its node, and the set that the disagreement starts from.
    pub set: String,
    /// What is wrong.
    pub reason: Reason,
}
impl From<Reason> for Refusal {
    fn from(reason: Reason) -> Self {
        Self { view: None, place: None, set: String::new(), reason }
    }
}
impl std::fmt::Display for Refusal {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let view = self.view.map(|view| format!("view {view}, ")).unwrap_or_default();
        let place = self.place.map(|at| format!("{at:?} {}: ", self.set)).unwrap_or_default();
        write!(f, "{view}{place}{:?}", self.reason)
    }
}
impl std::error::Error for Refusal {}

/// Refuses for the sake of something, a variable or a rule, unless there is nothing.
pub(crate) fn none(of: Option<&String>, what: &str) -> Result<(), Reason> {
    of.map_or(Ok(()), |of| Err(Reason::Violated(format!("{what} `{of}`"))))
}
