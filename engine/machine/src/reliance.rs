//! What the steps from a place on still rely on: what some way reads before it writes it or looks at it.
//!
//! The graph alone decides, whatever is true; inside an any-order block also the items that are done. Plans for stopping rely
//! on nothing: they look.

use crate::effects::Effects;
use crate::layout::VarId;
use crate::machine::Machine;
use crate::node::Place;
use crate::promise::PromiseSource;
use crate::reads::Reads;
use std::collections::BTreeSet;

/// What is relied on at every place of a machine.
#[derive(Clone, Debug)]
pub struct Reliance {
    /// By needs, tests, what is promised on every way, and what decides when something is written.
    steps: Reads,
    /// By what must be as usual at the end, of conditions that an act wrote.
    usual: Reads,
    /// What a wait counts under for the sake of those.
    waited: Vec<(VarId, Reads)>,
    /// For every variable, those of which knowledge does not last unless the variable is known.
    leaning: Vec<Vec<VarId>>,
}

impl Reliance {
    /// Of a compiled procedure.
    #[must_use]
    pub fn new(machine: &Machine) -> Self {
        let effects = Effects::new(machine);
        let promised = |source: PromiseSource| -> Vec<VarId> {
            let of = machine.promises.iter().filter(|promise| promise.source == source);
            of.map(|promise| promise.conjunct.var).collect()
        };
        let usual = promised(PromiseSource::Normal);
        let mut waited = usual.clone();
        waited.retain(|&var| effects.is_sustained(var));
        let end = |vars: &[VarId]| Reads::new(machine, &effects, vars, false);
        Self {
            steps: Reads::new(machine, &effects, &promised(PromiseSource::Leaves), true),
            usual: end(&usual),
            waited: waited.into_iter().map(|var| (var, end(&[var]))).collect(),
            leaning: leaning(machine),
        }
    }

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
            || self.waited.iter().any(|(of, reads)| *of != var && reads.at(place, var))
    }
}

/// For every variable, those that something stands over in which it is named, at once or through others.
fn leaning(machine: &Machine) -> Vec<Vec<VarId>> {
    let over = |var: VarId| machine.standing_over(var).flat_map(|cube| &cube.0).map(|part| part.var);
    let on = |var: VarId| {
        let mut all: Vec<VarId> = Vec::new();
        let mut open = vec![var];
        while let Some(named) = open.pop() {
            let leans = |of: &VarId| *of != var && !all.contains(of) && over(*of).any(|part| part == named);
            let more: Vec<VarId> = machine.layout.ids().filter(leans).collect();
            open.extend(&more);
            all.extend(more);
        }
        all
    };
    if machine.lost_when.is_empty() {
        return vec![Vec::new(); machine.layout.ids().count()];
    }
    machine.layout.ids().map(on).collect()
}
