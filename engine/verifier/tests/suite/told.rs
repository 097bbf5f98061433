//! What a refusal says, told apart by its words more finely than the checker's own reasons are.

use std::fmt;

use form::{Certificate, Form, Place};

/// What is wrong.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Reason {
    Malformed,
    OtherForm,
    NotCovered,
    LeftOut,
    NotClaimed,
    Need,
    Rule,
    Found,
    Open,
    Question,
    Unseen,
    Empty,
    Plan,
    NoPlan,
    NoWayOn,
}

#[derive(Debug)]
pub(crate) struct Refusal {
    pub(crate) view: Option<usize>,
    pub(crate) place: Option<Place>,
    pub(crate) reason: Reason,
    said: String,
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.said)
    }
}

impl From<verifier::Refusal> for Refusal {
    fn from(it: verifier::Refusal) -> Self {
        use verifier::Reason as Of;
        let told = [
            ("needed or promised", Reason::Need),
            ("the start breaks", Reason::Rule),
            ("an act may break", Reason::Rule),
            ("there may not be found", Reason::Found),
            ("nothing is mended", Reason::Found),
            ("at the end is found", Reason::Found),
            ("it is open", Reason::Open),
            ("too many ways", Reason::Open),
            ("no answer fits", Reason::Question),
            ("does not ensure", Reason::Unseen),
            ("no value may be left", Reason::Empty),
            ("nothing is possible", Reason::Empty),
            ("nothing leads nearer", Reason::NoWayOn),
        ];
        let said = it.to_string();
        let reason = match &it.reason {
            Of::Malformed(what) if what.contains("another form") => Reason::OtherForm,
            Of::Malformed(_) => Reason::Malformed,
            Of::Views(what) if what.contains("left out") => Reason::LeftOut,
            Of::Views(_) => Reason::NotCovered,
            Of::NotClaimed(_) => Reason::NotClaimed,
            Of::Plan(what) if what.contains("None") => Reason::NoPlan,
            Of::Plan(_) => Reason::Plan,
            Of::Violated(what) => told.into_iter().find(|(word, _)| what.contains(word)).unwrap().1,
        };
        Self { view: it.view, place: it.place, reason, said }
    }
}

pub(crate) fn verify(form: &Form, certificate: &Certificate) -> Result<(), Refusal> {
    verifier::verify(form, certificate).map_err(Refusal::from)
}

pub(crate) fn verify_named(form: &Form, certificate: &Certificate) -> Result<(), Refusal> {
    verifier::verify_named(form, certificate).map_err(Refusal::from)
}
