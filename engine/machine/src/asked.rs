//! What is asked before the first step.

use crate::cube::Conjunct;
use crate::machine::Machine;
use crate::node::Place;
use crate::promise::{Asked, Promise, PromiseSource};
use std::collections::BTreeSet;

impl Machine {
    /// What is asked, of everything that may be: what the procedure requires, and of other conditions what is usual where the
    /// procedure relies on it. Of what nobody can see nothing is asked.
    pub(crate) fn asked_of(&self, all: &[Promise]) -> Vec<Asked> {
        let entry = Place::at(self.entry);
        let relied = |promise: &&Promise| match promise.source {
            PromiseSource::Leaves => true,
            // Most of the time of compiling, and needed only where something has a usual value.
            PromiseSource::Normal => self.reliance().relies(entry, promise.conjunct.var, &BTreeSet::new()),
        };
        let visible = |promise: &&Promise| !self.sight(promise.conjunct.var).is_hidden;
        let asked: Vec<Promise> = all.iter().filter(visible).filter(relied).copied().collect();
        let is_so = |part: &Conjunct| {
            asked.iter().any(|known| known.conjunct.var == part.var && known.conjunct.set & !part.set == 0)
        };
        let by_record = |promise: &Promise| {
            let sight = self.sight(promise.conjunct.var);
            self.is_evidence(promise.conjunct.var) || !sight.is_asked || !sight.when.0.iter().all(is_so)
        };
        let of = |promise: &Promise| Asked {
            conjunct: promise.conjunct,
            source: promise.source,
            by_record: by_record(promise),
        };
        asked.iter().map(of).collect()
    }
}
