//! What the steps from a place on still rely on: what some way reads before it writes it or looks at it.
//!
//! The graph alone decides, whatever is true; inside an any-order block also the items that are done. Plans for stopping rely
//! on nothing: they look.

use crate::layout::VarId;
use crate::node::Place;
use crate::reads::Reads;
use std::collections::BTreeSet;

/// What is relied on at every place of a machine.
#[derive(Clone, Debug)]
pub struct Reliance {
    /// By needs, tests, what is promised on every way, and what decides when something is written.
    pub(crate) steps: Reads,
    /// By what must be as usual at the end, of conditions that an act wrote.
    pub(crate) usual: Reads,
    /// What a wait counts under for the sake of those.
    pub(crate) waited: Vec<Reads>,
    /// For every variable, those of which knowledge does not last unless the variable is known.
    pub(crate) leaning: Vec<Vec<VarId>>,
}

impl Reliance {
    /// Whether some way from the place reads the variable before it writes it. `wrote` are the conditions that an act of
    /// the run has written so far: those must be as usual at the end.
    #[must_use]
    pub fn relies(&self, place: Place, var: VarId, wrote: &BTreeSet<VarId>) -> bool {
        self.reads(place, var, wrote)
            || self.leaning[var.0 as usize].iter().any(|&of| self.reads(place, of, wrote))
    }

    fn reads(&self, place: Place, var: VarId, wrote: &BTreeSet<VarId>) -> bool {
        self.steps.at(place, var)
            || wrote.contains(&var) && self.usual.at(place, var)
            || self.waited.iter().any(|reads| reads.at(place, var))
    }
}
