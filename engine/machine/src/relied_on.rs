//! Works out what is relied on, once for a machine.

use crate::effects::Effects;
use crate::layout::VarId;
use crate::machine::Machine;
use crate::promise::PromiseSource;
use crate::reads::Reads;
use crate::reliance::Reliance;

impl Machine {
    /// What the steps from every place on still rely on: worked out when it is first asked for.
    #[must_use]
    pub fn reliance(&self) -> &Reliance {
        self.reliance.get_or_init(|| self.relied_on())
    }

    fn relied_on(&self) -> Reliance {
        let effects = Effects::new(self);
        let promised = |source: PromiseSource| -> Vec<VarId> {
            let of = self.promises.iter().filter(|promise| promise.source == source);
            of.map(|promise| promise.conjunct.var).collect()
        };
        let usual = promised(PromiseSource::Normal);
        let mut waited = usual.clone();
        waited.retain(|&var| effects.is_sustained(var));
        let end = |vars: &[VarId]| Reads::new(self, &effects, vars, false);
        // Waited for in its own sake a condition is not read, unless what it is waited under rests on it in turn.
        let waits = |var: VarId| {
            let (effects, sake) = effects.sake_of(self, var);
            Reads::new(self, &effects, &[sake], false)
        };
        Reliance {
            steps: Reads::new(self, &effects, &promised(PromiseSource::Leaves), true),
            usual: end(&usual),
            waited: waited.into_iter().map(waits).collect(),
            leaning: leaning(self),
        }
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
