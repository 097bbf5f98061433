//! Why a certificate is refused, with place and state.

use std::fmt;

use form::Form;

use crate::record::{State, Tri};
use crate::scope::Scope;

/// A node with the items done and offered again.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Place {
    /// The node.
    pub node: u32,
    /// Items done.
    pub items: u32,
    /// Items offered again.
    pub again: u32,
}

/// What is wrong. Text names variables, values and rules as the form does.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Reason {
    /// Data that means nothing: what and where.
    Malformed(String),
    /// It is a certificate of another form.
    OtherForm,
    /// No view speaks of this.
    NotCovered(String),
    /// A view must not leave an item out.
    LeftOut(String),
    /// A move or an interruption leads to a record that is in no set there.
    NotClaimed(Place, String),
    /// A need does not hold: the variable.
    Need(String),
    /// A rule is broken: the rule.
    Rule(String),
    /// A rule that was found broken is not dealt with: the rule.
    Found(String),
    /// No answer fits some values.
    Question,
    /// A promise does not hold: the variable.
    Promise(String),
    /// What nobody can see is not as it has to be at the start: the variable.
    Unseen(String),
    /// Nothing is left of a variable's values.
    Empty(String),
    /// There is no plan for stopping.
    NoPlan,
    /// The plan for stopping fails: why.
    Plan(String),
    /// The rank is 0 at no end, or not 0 at an end.
    Rank,
    /// No move surely leads nearer to an end.
    NoWayOn,
    /// It would take too long to say.
    TooManyWays,
}

impl fmt::Display for Reason {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Malformed(what) => write!(f, "the data is not well formed: {what}"),
            Self::OtherForm => write!(f, "the certificate is of another form"),
            Self::NotCovered(what) => write!(f, "no view speaks of {what}"),
            Self::LeftOut(what) => write!(f, "an item must not be left out: {what}"),
            Self::NotClaimed(place, state) => {
                write!(f, "what it leads to is claimed nowhere at node {} ({state})", place.node)
            }
            Self::Need(var) => write!(f, "what is needed of `{var}` does not surely hold"),
            Self::Rule(rule) => write!(f, "the rule `{rule}` may be broken"),
            Self::Found(rule) => write!(f, "the rule `{rule}` was found broken and is not dealt with"),
            Self::Question => write!(f, "no answer fits some of the values that are possible"),
            Self::Promise(var) => write!(f, "what is promised of `{var}` does not surely hold"),
            Self::Unseen(var) => {
                write!(f, "`{var}`, which nobody can see, is not as it has to be at the start")
            }
            Self::Empty(var) => write!(f, "no value is left for `{var}`"),
            Self::NoPlan => write!(f, "there is no plan for stopping here"),
            Self::Plan(why) => write!(f, "the plan for stopping fails: {why}"),
            Self::Rank => write!(f, "the rank is to be 0 at the ends and there alone"),
            Self::NoWayOn => write!(f, "no move surely leads nearer to an end"),
            Self::TooManyWays => write!(f, "there are too many ways on from here to follow them all"),
        }
    }
}

/// A certificate is not right, or cannot be seen to be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusal {
    /// The view, if it is one view's fault.
    pub view: Option<usize>,
    /// The place, where there is one.
    pub place: Option<Place>,
    /// The name of its node.
    pub node: String,
    /// The set that the disagreement starts from, in words.
    pub set: String,
    /// What is wrong.
    pub reason: Reason,
}

impl Refusal {
    /// Of a view as a whole.
    pub(crate) fn of(view: usize, reason: Reason) -> Self {
        Self { view: Some(view), ..Self::from(reason) }
    }

    /// At a place.
    pub(crate) fn at(mut self, form: &Form, place: Place, set: String) -> Self {
        self.node = form.nodes.get(place.node as usize).map(|node| node.name.clone()).unwrap_or_default();
        self.place = Some(place);
        self.set = set;
        self
    }
}

impl From<Reason> for Refusal {
    fn from(reason: Reason) -> Self {
        Self { view: None, place: None, node: String::new(), set: String::new(), reason }
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(view) = self.view {
            write!(f, "view {view}, ")?;
        }
        if let Some(place) = self.place {
            write!(
                f,
                "node {} `{}`, items {:b}, again {:b}",
                place.node, self.node, place.items, place.again
            )?;
            write!(f, " ({}): ", self.set)?;
        }
        write!(f, "{}", self.reason)
    }
}

impl std::error::Error for Refusal {}

/// The records in words: what is known of them.
pub(crate) fn words(scope: &Scope<'_>, state: &State) -> String {
    let mut words = Vec::new();
    for (known, v) in state.vars.iter().zip(&scope.vars) {
        let var = &scope.form.vars[*v as usize];
        if known.may != scope.index.all[*v as usize] {
            let values = (0..).zip(&var.values).filter(|(i, _)| known.may >> i & 1 == 1);
            let values: Vec<&str> = values.map(|(_, name)| name.as_str()).collect();
            words.push(format!(
                "{} {} {}",
                var.name,
                if known.exact { "is" } else { "within" },
                values.join("|")
            ));
        }
        for (mark, name) in [(known.opened, "opened"), (known.wrote, "written")] {
            if mark == Tri::Yes {
                words.push(format!("{} {name}", var.name));
            }
        }
    }
    for (clock, s) in state.clocks.iter().zip(&scope.entries) {
        let name = &scope.form.vars[scope.form.settling[*s as usize].var as usize].name;
        if clock.least > 0 {
            words.push(format!("{name} for {} ms", clock.least));
        }
        if clock.look_only == Tri::Yes {
            words.push(format!("{name} by looks only"));
        }
    }
    for slot in (0..state.found.len()).filter(|slot| state.found[*slot]) {
        words.push(format!("found {}", scope.rule(slot).name));
    }
    if words.is_empty() { "nothing is known".to_owned() } else { words.join(", ") }
}
