//! Taking up again: what an interruption leaves of a record (section 4, 6).

use form::{Cube, Part};

use crate::record::{Known, Tri};
use crate::run::{Asked, Run};

impl Run<'_> {
    /// Loses what nobody can vouch for; no if nothing is lost.
    pub(crate) fn interrupt(&mut self) -> bool {
        let (scope, mut lost) = (self.scope, Vec::new());
        for var in &scope.doubtful {
            let is_known = self.is_known(*var);
            if is_known != Tri::No && !self.is_vouched_for(*var) {
                lost.push((*var, is_known));
            }
        }
        if lost.is_empty() && !scope.loses_outside {
            return false;
        }
        for (var, is_known) in lost {
            // Of some records nothing was known: their values are all, and their clocks 0, without a loss.
            let all = Known::new(scope.index.all[var as usize], true);
            self.change(var, |known| {
                known.set_values(all);
                known.opened = known.opened.max(is_known);
            });
            for slot in scope.index.settling[var as usize].iter().filter_map(|s| scope.entry_slot(*s)) {
                self.state.clocks[slot].set(0);
            }
        }
        self.forget();
        self.settle();
        // Whatever is not all by now was known before: it is lost if it is fleeting, and what is outside may be.
        let mut due = Vec::new();
        self.changed.clear();
        self.perhaps.clear();
        for var in scope.fleeting.iter().filter(|var| !scope.form.vars[**var as usize].is_variant) {
            if scope.slot(*var).is_none() && self.stood_over(*var) != Tri::No {
                self.perhaps.push(*var);
            } else if scope.slot(*var).is_some() && self.fleeting(*var) {
                due.push(*var);
            }
        }
        self.lose(due);
        true
    }

    fn is_known(&self, var: u32) -> Tri {
        let clocks = self.scope.index.settling[var as usize].iter().filter_map(|s| self.scope.entry_slot(*s));
        let runs = clocks.map(|slot| self.state.clocks[slot].runs()).max().unwrap_or(Tri::No);
        runs.max(!self.known(var).has(self.scope.index.all[var as usize]))
    }

    /// The first that fits.
    fn is_vouched_for(&mut self, v: u32) -> bool {
        let var = &self.scope.form.vars[v as usize];
        let is_evidence = self.scope.index.is_evidence(v);
        if var.keeps && !self.is_half_run(v) {
            return true;
        }
        if is_evidence && self.stands(v) {
            return true;
        }
        if var.is_asked {
            return self.is_in_sight(v) || self.is_covered(v);
        }
        !is_evidence && var.is_hidden && self.is_timed(v)
    }

    fn is_half_run(&mut self, v: u32) -> bool {
        let scope = self.scope;
        scope.form.vars[v as usize].is_hidden
            && scope.index.settling[v as usize].iter().any(|s| {
                let clock = scope.entry_slot(*s).map_or(Tri::Either, |slot| self.state.clocks[slot].runs());
                let from = Part { var: v, set: scope.form.settling[*s as usize].from };
                self.decide(clock, Asked::Runs(*s)) && self.meets(from)
            })
    }

    /// A hidden variable that time alone vouches for.
    fn is_timed(&mut self, v: u32) -> bool {
        let (scope, keeps) = (self.scope, self.scope.form.vars[v as usize].keeps);
        let Some(s) = scope.index.settling[v as usize].first() else { return false };
        let entry = &scope.form.settling[*s as usize];
        if !entry.holds.as_ref().is_none_or(|cube| self.holds(cube) && self.are_at_hand(cube)) {
            return false;
        }
        let others = Part { var: v, set: scope.index.all[v as usize] & !entry.from };
        let has = self.known(v).has(others.set);
        keeps || self.decide(has, Asked::Has(others))
    }

    fn is_in_sight(&mut self, v: u32) -> bool {
        let var = &self.scope.form.vars[v as usize];
        var.is_asked && self.holds(&var.seen_when)
    }

    fn is_at_hand(&mut self, v: u32) -> bool {
        self.scope.form.vars[v as usize].keeps || self.is_in_sight(v)
    }

    fn are_at_hand(&mut self, cube: &Cube) -> bool {
        cube.iter().all(|part| self.is_at_hand(part.var))
    }

    fn is_covered(&mut self, v: u32) -> bool {
        let cube = &self.scope.form.vars[v as usize].seen_when;
        !self.cube_meets(cube) && self.are_at_hand(cube)
    }

    fn stands(&mut self, v: u32) -> bool {
        let scope = self.scope;
        scope.index.losses[v as usize].iter().all(|l| {
            let cube = &scope.form.lost_when[*l as usize].when;
            !self.cube_meets(cube)
                && cube.iter().all(|part| self.is_at_hand(part.var) || self.is_covered(part.var))
        })
    }
}
