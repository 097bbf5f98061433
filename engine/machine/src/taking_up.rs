//! Taking work up again after an interruption: what is looked at again, what stands, what is waited for, what is lost.

use crate::cube::Conjunct;
use crate::layout::{Origin, VarId};
use crate::machine::Machine;
use crate::state::AbstractState;
use std::collections::BTreeSet;

/// What becomes of everything that the rest of a procedure relies on and of which something was known, where work is taken
/// up again. Each condition stands in one list, those that are looked at for the sake of another among `looked_at`.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct TakingUp {
    /// Looked at again: each has to be as recorded.
    pub looked_at: BTreeSet<VarId>,
    /// As recorded because nothing changes it.
    pub kept: BTreeSet<VarId>,
    /// As recorded because what covers it was shut and is looked at.
    pub covered: BTreeSet<VarId>,
    /// Evidence that stands because what ends it is looked at and has not come about.
    pub stands: BTreeSet<VarId>,
    /// Hidden, and waited for in full: so many milliseconds from the moment what time counts under was seen to hold.
    pub waited: Vec<(VarId, u64)>,
    /// Nobody can tell what it is now.
    pub lost: BTreeSet<VarId>,
}

impl Machine {
    /// What taking up again comes to with this record at its place.
    #[must_use]
    pub fn taking_up(&self, state: &AbstractState) -> TakingUp {
        let (mut all, wrote) = (TakingUp::default(), self.all_wrote(state));
        let reliance = self.reliance();
        for var in self.layout.ids().filter(|&var| self.layout.var(var).origin == Origin::Condition) {
            if self.is_known(state, var) && reliance.relies(state.place, var, &wrote) {
                self.sort(state, var, &mut all);
            }
        }
        self.look_beside_what_is_bare(state, &mut all);
        all
    }

    /// Looks at what alone keeps a rule from being broken, where the rest of it is so: nobody relies on it, and yet hands are there.
    fn look_beside_what_is_bare(&self, state: &AbstractState, all: &mut TakingUp) {
        let holds = |part: &Conjunct| state.bits.field(&self.layout, part.var) & !part.set == 0;
        for rule in &self.rules {
            let (so, open): (Vec<&Conjunct>, Vec<&Conjunct>) =
                rule.when.0.iter().partition(|part| holds(part));
            if so.is_empty() {
                continue;
            }
            let kept_by = open.into_iter().map(|part| part.var);
            let seen = kept_by.flat_map(|var| std::iter::once(var).chain(self.rests_on(var)));
            for var in seen.filter(|&var| self.is_known(state, var) && !self.sight(var).keeps) {
                if self.sight(var).reaches(&self.layout, &state.bits) {
                    self.look_at(state, var, all);
                }
            }
        }
    }

    /// Which of these would be lost.
    #[must_use]
    pub fn lost_among(&self, state: &AbstractState, vars: &[VarId]) -> BTreeSet<VarId> {
        let mut all = TakingUp::default();
        let known = vars.iter().filter(|&&var| self.is_known(state, var));
        known.for_each(|&var| self.sort(state, var, &mut all));
        if !all.lost.is_empty() {
            let wrote = self.all_wrote(state);
            all.lost.retain(|&var| self.reliance().relies(state.place, var, &wrote));
        }
        all.lost
    }

    /// Whether anything is known of the condition: what it may be, or that time has passed.
    fn is_known(&self, state: &AbstractState, var: VarId) -> bool {
        let passed = |(settling, clock): (&crate::machine::Settling, &u64)| settling.var == var && *clock > 0;
        state.bits.field(&self.layout, var) != self.layout.all(var)
            || self.settling.iter().zip(&state.clocks).any(passed)
    }

    fn sort(&self, state: &AbstractState, var: VarId, all: &mut TakingUp) {
        let sight = self.sight(var);
        if sight.keeps && !self.is_half_run(state, var) {
            all.kept.insert(var);
        } else if self.is_evidence(var) && self.stands(state, var) && !self.lapses_in_sight(state, var) {
            // Whoever made sure of it need not do so twice: what ends it is looked at.
            all.stands.insert(var);
            self.look_at_all(state, self.causes_of(var), all);
        } else if sight.is_asked {
            if sight.when.holds(&self.layout, &state.bits) {
                self.look_at(state, var, all);
            } else if self.is_covered(state, var) {
                all.covered.insert(var);
                self.look_at_all(state, sight.when.0.iter().map(|part| part.var), all);
            } else {
                all.lost.insert(var);
            }
        } else if self.is_evidence(var) {
            all.lost.insert(var);
        } else if let Some(settling) = self.settling.iter().find(|s| s.var == var && sight.is_hidden) {
            let under = || settling.holds.iter().flat_map(|under| &under.0).map(|part| part.var);
            let counts = settling.holds.as_ref().is_none_or(|under| under.holds(&self.layout, &state.bits));
            if counts && under().all(|part| self.is_at_hand(state, part)) {
                all.waited.push((var, settling.after));
                self.look_at_all(state, under(), all);
            } else {
                all.lost.insert(var);
            }
        } else {
            all.lost.insert(var);
        }
    }

    /// Whether what ends the evidence can be looked at and has not come about.
    fn stands(&self, state: &AbstractState, var: VarId) -> bool {
        let mut causes = self.lost_when.iter().filter(|lost| lost.var == var).map(|lost| &lost.when);
        self.causes_of(var).all(|part| self.is_vouched_for(state, part))
            && !causes.any(|cause| cause.meets(&self.layout, &state.bits))
    }

    /// Whether it counts through no interruption, and can be looked at.
    fn lapses_in_sight(&self, state: &AbstractState, var: VarId) -> bool {
        self.lapses.iter().any(|(of, _)| *of == var) && self.sight(var).reaches(&self.layout, &state.bits)
    }

    /// The conditions of what ends it.
    fn causes_of(&self, var: VarId) -> impl Iterator<Item = VarId> {
        let causes = self.lost_when.iter().filter(move |lost| lost.var == var).map(|lost| &lost.when);
        causes.flat_map(|cause| &cause.0).map(|part| part.var)
    }

    /// Whether time has counted towards settling of what nobody sees, and not enough: a value keeps, a clock does not.
    fn is_half_run(&self, state: &AbstractState, var: VarId) -> bool {
        self.settling.iter().zip(&state.clocks).any(|(settling, clock)| {
            settling.var == var
                && self.sight(var).is_hidden
                && *clock > 0
                && state.bits.field(&self.layout, var) & settling.from != 0
        })
    }

    /// Whether it is looked at there or keeps.
    fn is_at_hand(&self, state: &AbstractState, var: VarId) -> bool {
        let sight = self.sight(var);
        sight.keeps || sight.reaches(&self.layout, &state.bits)
    }

    /// Whether nobody can have changed it unseen: what covers it was surely shut, and that is at hand.
    fn is_covered(&self, state: &AbstractState, var: VarId) -> bool {
        let sight = self.sight(var);
        !sight.when.meets(&self.layout, &state.bits)
            && sight.when.0.iter().all(|part| self.is_at_hand(state, part.var))
    }

    fn is_vouched_for(&self, state: &AbstractState, var: VarId) -> bool {
        self.is_at_hand(state, var) || self.is_covered(state, var)
    }

    /// Whether it is evidence: an act ends it, and nothing that time does.
    #[must_use]
    pub fn is_evidence(&self, var: VarId) -> bool {
        self.lost_when.iter().any(|lost| lost.var == var) && !self.settling.iter().any(|s| s.var == var)
    }

    /// Looks at each that does not keep; at one that is covered by looking at what covers it.
    fn look_at_all(&self, state: &AbstractState, vars: impl Iterator<Item = VarId>, all: &mut TakingUp) {
        for var in vars {
            let sight = self.sight(var);
            if sight.keeps {
                all.kept.insert(var);
            } else if sight.reaches(&self.layout, &state.bits) {
                self.look_at(state, var, all);
            } else {
                all.covered.insert(var);
                let covers = sight.when.0.iter().map(|part| part.var);
                covers
                    .filter(|&part| !self.sight(part).keeps)
                    .for_each(|part| self.look_at(state, part, all));
            }
        }
    }

    /// Looks at it, and first at what it can be seen behind.
    fn look_at(&self, state: &AbstractState, var: VarId, all: &mut TakingUp) {
        if all.looked_at.insert(var) {
            let open = self.sight(var).when.0.iter().map(|part| part.var);
            let seen = open.filter(|&part| self.sight(part).reaches(&self.layout, &state.bits));
            seen.for_each(|part| self.look_at(state, part, all));
        }
    }
}
