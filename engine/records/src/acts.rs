//! An act of the equipment as people at a machine are shown it: in the way to leave it, and to put right what keeps a gate
//! shut.

use crate::judged::Ground;
use card::page::{ActBox, Chosen, Warning, act_of};
use document::Library;
use document::model::Name;
use serde::Serialize;
use walk::Walk;

/// An act of the equipment with all that a step would show of it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Act {
    /// What to do.
    pub words: String,
    /// The warnings, gravest first: they are read before it.
    pub warnings: Vec<ActWarning>,
    /// The type of work.
    pub work: Option<String>,
    /// What to wear.
    pub wear: Vec<String>,
    /// The tools it takes.
    pub takes: Vec<String>,
    /// The people it asks for: who does it, how many together, who verifies it.
    pub people: Vec<String>,
}

/// A warning before an act.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct ActWarning {
    /// The signal word.
    pub word: &'static str,
    /// Whether the symbol for injury stands beside it.
    pub symbol: bool,
    /// What the danger is.
    pub hazard: String,
    /// What happens.
    pub consequence: String,
    /// How to avoid it.
    pub avoid: String,
}

impl From<Warning> for ActWarning {
    fn from(warning: Warning) -> Self {
        let Warning { word, symbol, hazard, consequence, avoid } = warning;
        Self { word: word.word(), symbol, hazard, consequence, avoid }
    }
}

/// The acts of an equipment, with the figures of the machine that is walked on.
pub(crate) struct Acts<'a> {
    library: &'a Library,
    procedure: Name,
    chosen: Chosen,
}

impl<'a> Acts<'a> {
    pub(crate) fn new(walk: &'a Walk, ground: Option<&'a Ground>) -> Self {
        Self {
            library: ground.map_or_else(|| walk.library(), Ground::library),
            procedure: Name::from(walk.begin().procedure.as_str()),
            chosen: walk.variants(),
        }
    }

    pub(crate) fn get(&self, name: &Name) -> Option<Act> {
        let of = |chosen: &Chosen| act_of(self.library, &self.procedure, chosen, name);
        // The equipment as it stands now may have other variants: then figures are told for all.
        let ActBox { warnings, work, wear, takes, people, text } =
            of(&self.chosen).or_else(|_| of(&Chosen::new())).ok()??;
        Some(Act {
            words: text.text().split_whitespace().collect::<Vec<_>>().join(" "),
            warnings: warnings.into_iter().map(ActWarning::from).collect(),
            work,
            wear,
            takes,
            people,
        })
    }
}

/// An act of the equipment that a walk goes by, by its name; none if there is no such act.
#[must_use]
pub fn act(walk: &Walk, action: &str) -> Option<Act> {
    Acts::new(walk, None).get(&Name::from(action))
}
