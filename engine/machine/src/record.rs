//! How a record changes: what is written, looked at, opened, and the time that passes.

use crate::cube::Conjunct;
use crate::layout::VarId;
use crate::machine::Machine;
use crate::node::Effect;
use crate::state::AbstractState;

/// What one effect did.
#[derive(Clone, Debug, Default)]
pub struct Applied {
    /// The variables that were written, in order: by the effect, or because evidence ended.
    pub changed: Vec<VarId>,
    /// Whether a look contradicted the record.
    pub surprise: bool,
}

impl Machine {
    /// Applies an effect to a record, with everything that follows from it. After a look, rules that surely hold are found
    /// broken; an act is for the caller to judge.
    pub fn apply(&self, state: &mut AbstractState, effect: Effect) -> Applied {
        let applied = self.apply_alone(state, effect);
        if !effect.is_act() {
            self.note_look(state, std::iter::once(effect.var()).chain(applied.changed.iter().copied()));
        }
        applied
    }

    /// The same without a word about rules.
    pub(crate) fn apply_alone(&self, state: &mut AbstractState, effect: Effect) -> Applied {
        let var = effect.var();
        let any = Conjunct { var, set: self.layout.all(var) };
        let changed = match effect {
            Effect::Write(set) => {
                let changed = self.write(state, set, false);
                self.note_act(state, &changed);
                changed
            }
            Effect::Open(_) => {
                let changed = self.write(state, any, true);
                self.note_act(state, &changed);
                changed
            }
            Effect::Look(seen) => return self.look(state, seen),
            Effect::Find(found) => {
                if state.bits.field(&self.layout, var) & found.set == 0 {
                    self.only_looks_count(state, var);
                }
                let changed = self.write(state, found, false);
                self.find_shown(state, found);
                changed
            }
            Effect::Lose(_) => self.write(state, any, true),
            Effect::Verify(_) => {
                self.set_opened(state, var, false);
                Vec::new()
            }
        };
        Applied { changed, surprise: false }
    }

    /// A look showed one of these values.
    fn look(&self, state: &mut AbstractState, seen: Conjunct) -> Applied {
        let both = state.bits.field(&self.layout, seen.var) & seen.set;
        let surprise = both == 0;
        if surprise {
            self.only_looks_count(state, seen.var);
        }
        let set = if surprise { seen.set } else { both };
        let shown = Conjunct { var: seen.var, set };
        if surprise || self.is_opened(state, seen.var) {
            let changed = self.write(state, shown, false);
            self.find_shown(state, shown);
            return Applied { changed, surprise };
        }
        state.bits.set_field(&self.layout, seen.var, set);
        self.settle(state);
        let due = self.fleeting(state, &[seen.var], state);
        let changed = self.lose(state, due);
        self.find_shown(state, shown);
        Applied { changed, surprise }
    }

    /// At the look itself what settles has the value that was seen, and may give way only from then on: a rule that surely held
    /// was found broken. Of what something fills, what is told does not last, and yet it was so.
    fn find_shown(&self, state: &mut AbstractState, shown: Conjunct) {
        let settles = self.settling.iter().any(|settling| settling.var == shown.var);
        if !settles || self.rules.is_empty() {
            return;
        }
        let field = state.bits.field(&self.layout, shown.var);
        let mut then = state.bits.clone();
        then.set_field(&self.layout, shown.var, field & shown.set);
        for &rule in &self.rules_of[shown.var.0 as usize] {
            if self.rules[rule].when.holds(&self.layout, &then) {
                self.set_found(state, rule, true);
            }
        }
    }

    /// Replaces the values of a variable; then evidence ends whose cause may now hold, clocks that hang on it begin anew,
    /// and values fall that may.
    fn write(&self, state: &mut AbstractState, set: Conjunct, opens: bool) -> Vec<VarId> {
        state.bits.set_field(&self.layout, set.var, self.settled_too(set).set);
        self.set_opened(state, set.var, opens);
        let mut changed = vec![set.var];
        if !self.lost_when.is_empty() {
            let due = self.fleeting(state, &[set.var], state);
            self.lose_evidence(state, &mut changed, due);
        }
        self.begin_clocks(state, &changed);
        changed
    }

    /// Opens what does not last, with what ends because of it. What was written thereby.
    pub(crate) fn lose(&self, state: &mut AbstractState, due: Vec<VarId>) -> Vec<VarId> {
        if due.is_empty() {
            return due;
        }
        let mut changed = Vec::new();
        self.lose_evidence(state, &mut changed, due);
        self.begin_clocks(state, &changed);
        changed
    }

    fn begin_clocks(&self, state: &mut AbstractState, changed: &[VarId]) {
        for (at, settling) in self.settling.iter().enumerate() {
            if changed.contains(&settling.var) {
                state.clocks[at] = 0;
            }
        }
        self.settle(state);
    }

    /// With the value that takes the place of another at any moment.
    pub(crate) fn settled_too(&self, made: Conjunct) -> Conjunct {
        let falls = self.settling.iter().filter(|settling| settling.var == made.var);
        let falls = falls.filter(|settling| made.set & settling.from != 0);
        Conjunct { set: falls.fold(made.set, |set, settling| set | settling.to), ..made }
    }

    /// Ends evidence whose cause may now hold, with what is `due` already: all of it at once, so that the order in which
    /// conditions are declared decides nothing. Lost evidence is itself a change that may end other evidence, each once.
    fn lose_evidence(&self, state: &mut AbstractState, changed: &mut Vec<VarId>, mut due: Vec<VarId>) {
        let mut lost: Vec<VarId> = Vec::new();
        loop {
            for evidence in &self.lost_when {
                let is_due = !lost.contains(&evidence.var)
                    && !due.contains(&evidence.var)
                    && evidence.when.0.iter().any(|conjunct| changed.contains(&conjunct.var))
                    && evidence.when.meets(&self.layout, &state.bits);
                if is_due {
                    due.push(evidence.var);
                }
            }
            if due.is_empty() {
                return;
            }
            for &var in &due {
                state.bits.set_field(&self.layout, var, self.layout.all(var));
                self.set_opened(state, var, true);
                if !changed.contains(&var) {
                    changed.push(var);
                }
            }
            lost.append(&mut due);
        }
    }

    /// An act wrote these: what must be as usual at the end is remembered.
    fn note_act(&self, state: &mut AbstractState, changed: &[VarId]) {
        for &var in changed {
            if self.usual[var.0 as usize] {
                self.set_wrote(state, var);
            }
        }
    }

    /// After a look at these: rules that surely hold were found broken, and those that can no longer hold are not any more.
    pub(crate) fn note_look(&self, state: &mut AbstractState, seen: impl Iterator<Item = VarId>) {
        if self.rules.is_empty() {
            return;
        }
        for &rule in seen.flat_map(|var| &self.rules_of[var.0 as usize]) {
            if self.rules[rule].when.holds(&self.layout, &state.bits) {
                self.set_found(state, rule, true);
            }
        }
        for rule in self.found(state) {
            if !self.rules[rule].when.meets(&self.layout, &state.bits) {
                self.set_found(state, rule, false);
            }
        }
    }

    fn only_looks_count(&self, state: &mut AbstractState, var: VarId) {
        let settling = self.settling.iter().position(|settling| settling.var == var);
        if let Some(at) = settling.filter(|_| !self.sight(var).is_hidden) {
            self.set_look_only(state, at);
        }
    }

    /// So much time has surely passed at the state's place.
    #[must_use]
    pub fn pass_time(&self, state: &AbstractState, millis: u64) -> AbstractState {
        let mut after = state.clone();
        let mut settled: Vec<VarId> = Vec::new();
        for (at, settling) in self.settling.iter().enumerate() {
            if settling.holds.as_ref().is_some_and(|under| !under.holds(&self.layout, &state.bits)) {
                continue;
            }
            after.clocks[at] = settling.after.min(after.clocks[at].saturating_add(millis));
            if after.clocks[at] == settling.after && !self.is_look_only(&after, at) {
                let field = after.bits.field(&self.layout, settling.var);
                after.bits.set_field(&self.layout, settling.var, field & !settling.from);
                if field & settling.from != 0 {
                    settled.push(settling.var);
                }
            }
        }
        // What may fall may have fallen in the middle of that time.
        let due = self.fleeting(&after, &settled, state);
        self.lose(&mut after, due);
        after
    }

    /// A settling value may fall at any moment; time counts only while that value is possible and what it counts under
    /// surely holds.
    pub(crate) fn settle(&self, state: &mut AbstractState) {
        for (settling, clock) in self.settling.iter().zip(&mut state.clocks) {
            let field = state.bits.field(&self.layout, settling.var);
            if field & settling.from == 0 {
                *clock = settling.after;
            } else {
                state.bits.set_field(&self.layout, settling.var, field | settling.to);
            }
        }
        for (settling, clock) in self.settling.iter().zip(&mut state.clocks) {
            let Some(under) = &settling.holds else { continue };
            let possible = state.bits.field(&self.layout, settling.var) & settling.from != 0;
            if possible && !under.holds(&self.layout, &state.bits) {
                *clock = 0;
            }
        }
    }
}
