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
    /// Hidden, and waited for in full: so many milliseconds from the moment what time counts under was seen to hold. The values that
    /// are left by then are all among those recorded.
    pub waited: Vec<(VarId, u64)>,
    /// Nobody can tell what it is now.
    pub lost: BTreeSet<VarId>,
}

impl Machine {
    /// What taking up again comes to with this record at its place.
    #[must_use]
    pub fn taking_up(&self, state: &AbstractState) -> TakingUp {
        self.sorted(&Sorting { machine: self, state, doubted: None })
    }

    /// What it comes to, with this record, that nobody can vouch for these any more, and for them alone.
    #[must_use]
    pub fn doubting(&self, state: &AbstractState, doubted: &BTreeSet<VarId>) -> TakingUp {
        self.sorted(&Sorting { machine: self, state, doubted: Some(doubted) })
    }

    fn sorted(&self, sorting: &Sorting<'_>) -> TakingUp {
        let (mut all, wrote) = (TakingUp::default(), self.all_wrote(sorting.state));
        let reliance = self.reliance();
        for var in self.layout.ids().filter(|&var| self.layout.var(var).origin == Origin::Condition) {
            if sorting.is_known(var) && reliance.relies(sorting.state.place, var, &wrote) {
                sorting.sort(var, &mut all);
            }
        }
        sorting.look_beside_what_is_bare(&mut all);
        all
    }

    /// Which of these would be lost.
    #[must_use]
    pub fn lost_among(&self, state: &AbstractState, vars: &[VarId]) -> BTreeSet<VarId> {
        let sorting = Sorting { machine: self, state, doubted: None };
        let mut all = TakingUp::default();
        let known = vars.iter().filter(|&&var| sorting.is_known(var));
        known.for_each(|&var| sorting.sort(var, &mut all));
        if !all.lost.is_empty() {
            let wrote = self.all_wrote(state);
            all.lost.retain(|&var| self.reliance().relies(state.place, var, &wrote));
        }
        all.lost
    }

    /// What is known once work was taken up again: nothing of what nobody can vouch for, whether the rest relies on it or not, nor of
    /// what does not last then; with the first condition that nobody can vouch for. None where all that was known is.
    #[must_use]
    pub fn taken_up(&self, state: &AbstractState) -> Option<(AbstractState, VarId)> {
        let sorting = Sorting { machine: self, state, doubted: None };
        let mut all = TakingUp::default();
        let conditions = self.layout.ids().filter(|&var| self.layout.var(var).origin == Origin::Condition);
        let known: Vec<VarId> = conditions.filter(|&var| sorting.is_known(var)).collect();
        known.iter().for_each(|&var| sorting.sort(var, &mut all));
        let first = *all.lost.first()?;
        let mut left = state.clone();
        for &var in &all.lost {
            left.bits.set_field(&self.layout, var, self.layout.all(var));
            self.set_opened(&mut left, var, true);
        }
        for (settling, clock) in self.settling.iter().zip(&mut left.clocks) {
            if all.lost.contains(&settling.var) {
                *clock = 0;
            }
        }
        self.settle(&mut left);
        let due = self.fleeting(&left, &known, &left);
        self.lose(&mut left, due);
        Some((left, first))
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

    /// Whether it is evidence: an act ends it, and nothing that time does.
    #[must_use]
    pub fn is_evidence(&self, var: VarId) -> bool {
        self.lost_when.iter().any(|lost| lost.var == var) && !self.settling.iter().any(|s| s.var == var)
    }
}

/// A record, and what of it nobody can vouch for.
struct Sorting<'a> {
    machine: &'a Machine,
    state: &'a AbstractState,
    /// These; else what an interruption leaves nobody sure of. Then clocks that have partly run are in doubt, too: a value may keep,
    /// they do not.
    doubted: Option<&'a BTreeSet<VarId>>,
}

impl Sorting<'_> {
    fn is_in_doubt(&self, var: VarId) -> bool {
        self.doubted.map_or_else(|| !self.machine.sight(var).keeps, |doubted| doubted.contains(&var))
    }

    /// Looks at what alone keeps a rule from being broken, where the rest of it is so: nobody relies on it, and yet hands are there.
    fn look_beside_what_is_bare(&self, all: &mut TakingUp) {
        let holds = |part: &Conjunct| self.state.bits.field(&self.machine.layout, part.var) & !part.set == 0;
        for rule in &self.machine.rules {
            let (so, open): (Vec<&Conjunct>, Vec<&Conjunct>) =
                rule.when.0.iter().partition(|part| holds(part));
            if so.is_empty() {
                continue;
            }
            let kept_by = open.into_iter().map(|part| part.var);
            let seen = kept_by.flat_map(|var| std::iter::once(var).chain(self.machine.rests_on(var)));
            for var in seen.filter(|&var| self.is_known(var) && self.is_in_doubt(var)) {
                if self.machine.sight(var).reaches(&self.machine.layout, &self.state.bits) {
                    self.look_at(var, all);
                }
            }
        }
    }

    /// Whether anything is known of the condition: what it may be, or that time has passed.
    fn is_known(&self, var: VarId) -> bool {
        let passed = |(settling, clock): (&crate::machine::Settling, &u64)| settling.var == var && *clock > 0;
        self.state.bits.field(&self.machine.layout, var) != self.machine.layout.all(var)
            || self.machine.settling.iter().zip(&self.state.clocks).any(passed)
    }

    fn sort(&self, var: VarId, all: &mut TakingUp) {
        let sight = self.machine.sight(var);
        let is_half_run = self.doubted.is_none() && self.machine.is_half_run(self.state, var);
        if !self.is_in_doubt(var) && !is_half_run {
            all.kept.insert(var);
        } else if self.machine.is_evidence(var) && self.stands(var) && !self.lapses_in_sight(var) {
            // Whoever made sure of it need not do so twice: what ends it is looked at.
            all.stands.insert(var);
            self.look_at_all(self.causes_of(var), all);
        } else if sight.is_asked {
            if sight.when.holds(&self.machine.layout, &self.state.bits) {
                self.look_at(var, all);
            } else if self.is_covered(var) {
                all.covered.insert(var);
                self.look_at_all(sight.when.0.iter().map(|part| part.var), all);
            } else {
                all.lost.insert(var);
            }
        } else if self.machine.is_evidence(var) {
            all.lost.insert(var);
        } else if let Some(settling) = self.machine.settling.iter().find(|s| s.var == var && sight.is_hidden)
        {
            let under = || settling.holds.iter().flat_map(|under| &under.0).map(|part| part.var);
            let counts = settling
                .holds
                .as_ref()
                .is_none_or(|under| under.holds(&self.machine.layout, &self.state.bits));
            // It ends one value, and tells no others apart that somebody may have brought about where it does not keep.
            let left = self.machine.layout.all(var) & !settling.from;
            let is_brought = sight.keeps || left & !self.state.bits.field(&self.machine.layout, var) == 0;
            if counts && is_brought && under().all(|part| self.is_at_hand(part)) {
                all.waited.push((var, settling.after));
                self.look_at_all(under(), all);
            } else {
                all.lost.insert(var);
            }
        } else {
            all.lost.insert(var);
        }
    }

    /// Whether what ends the evidence can be looked at and has not come about.
    fn stands(&self, var: VarId) -> bool {
        let mut causes = self.machine.lost_when.iter().filter(|lost| lost.var == var).map(|lost| &lost.when);
        self.causes_of(var).all(|part| self.is_vouched_for(part))
            && !causes.any(|cause| cause.meets(&self.machine.layout, &self.state.bits))
    }

    /// Whether it counts through no interruption, and can be looked at.
    fn lapses_in_sight(&self, var: VarId) -> bool {
        self.machine.lapses.iter().any(|(of, _)| *of == var)
            && self.machine.sight(var).reaches(&self.machine.layout, &self.state.bits)
    }

    /// The conditions of what ends it.
    fn causes_of(&self, var: VarId) -> impl Iterator<Item = VarId> {
        let causes = self.machine.lost_when.iter().filter(move |lost| lost.var == var).map(|lost| &lost.when);
        causes.flat_map(|cause| &cause.0).map(|part| part.var)
    }

    /// Whether it is looked at there, or nobody doubts it.
    fn is_at_hand(&self, var: VarId) -> bool {
        !self.is_in_doubt(var) || self.machine.sight(var).reaches(&self.machine.layout, &self.state.bits)
    }

    /// Whether nobody can have changed it unseen: what covers it was surely shut, and that is at hand.
    fn is_covered(&self, var: VarId) -> bool {
        let sight = self.machine.sight(var);
        !sight.when.meets(&self.machine.layout, &self.state.bits)
            && sight.when.0.iter().all(|part| self.is_at_hand(part.var))
    }

    fn is_vouched_for(&self, var: VarId) -> bool {
        self.is_at_hand(var) || self.is_covered(var)
    }

    /// Looks at each that is in doubt; at one that is covered by looking at what covers it.
    fn look_at_all(&self, vars: impl Iterator<Item = VarId>, all: &mut TakingUp) {
        for var in vars {
            let sight = self.machine.sight(var);
            if !self.is_in_doubt(var) {
                all.kept.insert(var);
            } else if sight.reaches(&self.machine.layout, &self.state.bits) {
                self.look_at(var, all);
            } else {
                all.covered.insert(var);
                let covers = sight.when.0.iter().map(|part| part.var);
                covers.filter(|&part| self.is_in_doubt(part)).for_each(|part| self.look_at(part, all));
            }
        }
    }

    /// Looks at it, and first at what it can be seen behind.
    fn look_at(&self, var: VarId, all: &mut TakingUp) {
        if all.looked_at.insert(var) {
            let open = self.machine.sight(var).when.0.iter().map(|part| part.var);
            let seen =
                open.filter(|&part| self.machine.sight(part).reaches(&self.machine.layout, &self.state.bits));
            seen.for_each(|part| self.look_at(part, all));
        }
    }
}
