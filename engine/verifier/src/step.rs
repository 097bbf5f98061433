//! A move: the first half of section 2, and the start.

use form::{Cube, Duty, EffectKind, Guard, Outcome, Part, Wait};

use crate::record::{State, Tri};
use crate::refusal::{Place, Reason};
use crate::run::Run;

impl Run<'_> {
    /// What the view starts from, before time or anybody has done anything.
    pub(crate) fn first(&self) -> Result<State, Reason> {
        let (scope, mut state) = (self.scope, self.scope.blank());
        for part in &scope.form.start {
            if scope.index.all[part.var as usize] & part.set == 0 {
                return Err(self.empty(part.var));
            }
            if let Some(slot) = scope.slot(part.var) {
                state.vars[slot] = state.vars[slot].cut(part.set);
            }
        }
        Ok(state)
    }

    /// From there to the record that stands at the entry.
    pub(crate) fn start(&mut self) -> Result<(), Reason> {
        let form = self.scope.form;
        self.settle();
        if let Some(slot) = (0..self.state.found.len()).find(|slot| self.holds(&self.scope.rule(*slot).when))
        {
            return Err(self.broken(slot));
        }
        self.changed.clear();
        self.perhaps.clear();
        let mut due = Vec::new();
        for part in &form.start {
            if self.scope.slot(part.var).is_some() {
                if self.fleeting(part.var) {
                    due.push(part.var);
                }
            } else if self.stood_over(part.var) != Tri::No {
                self.perhaps.push(part.var);
            }
        }
        self.lose(due);
        let is_so = |part: &&Part| {
            self.scope.slot(part.var).is_none() || self.known(part.var).within(part.set) == Tri::Yes
        };
        match form.unseen.iter().find(|part| !is_so(part)) {
            Some(part) => Err(Reason::Unseen(form.vars[part.var as usize].name.clone())),
            None => Ok(()),
        }
    }

    /// Takes an outcome; `None` if its guard and waits let no record through this way.
    pub(crate) fn take(&mut self, at: Place, outcome: &Outcome) -> Result<Option<Place>, Reason> {
        let form = self.scope.form;
        if !self.guard(&outcome.guard) || !self.wait(&outcome.waits)? {
            return Ok(None);
        }
        let (from, to) = (form.nodes[at.node as usize].block, form.nodes[outcome.to as usize].block);
        let (mut items, mut again) = if from == to && from.is_some() { (at.items, at.again) } else { (0, 0) };
        items |= outcome.ends.map_or(0, |item| 1 << item);
        let offerable = at.items & items & !at.again;
        let found = self.state.found.iter().position(|found| *found);
        if let (Duty::Absent, Some(rule)) = (outcome.duty, found) {
            return Err(Reason::Found(self.scope.rule(rule).name.clone()));
        }
        let (mut touched, mut looked, mut acted) = (Vec::new(), Vec::new(), false);
        for effect in &outcome.effects {
            self.invite(effect.var);
            let offered = effect.offers.map_or(0, |item| 1 << item) & offerable;
            let is_told =
                matches!(effect.kind, EffectKind::Look | EffectKind::Find) && self.follows(effect.var);
            let part = Part { var: effect.var, set: effect.set };
            let misses = (is_told || offered != 0) && !self.meets(part);
            if misses {
                (items, again) = (items & !offered, again | offered);
            }
            self.apply(effect, misses);
            touched.append(&mut self.changed);
            match effect.kind {
                EffectKind::Write | EffectKind::Open => acted = true,
                _ => looked.push(effect.var),
            }
        }
        self.dismiss();
        if !looked.is_empty() {
            looked.extend_from_slice(&touched);
            self.note(&looked);
        }
        if acted {
            self.no_rule_meets(&touched)?;
        }
        if matches!(outcome.duty, Duty::May | Duty::Mend) {
            let found = self.state.found.iter().position(|found| *found);
            let ended = self.end_rules();
            if let (Duty::Mend, Some(rule), false) = (outcome.duty, found, ended) {
                return Err(Reason::Found(self.scope.rule(rule).name.clone()));
            }
        }
        // A person in an item left out stands, for the view, at the choosing node.
        let (home, followed) = self.scope.homes[outcome.to as usize];
        Ok(Some(Place { node: home, items: items & followed, again: again & followed }))
    }

    fn no_rule_meets(&self, changed: &[u32]) -> Result<(), Reason> {
        for rule in changed.iter().flat_map(|var| self.scope.rules_of(*var)) {
            let rule = *rule as usize;
            if !self.state.found[rule] && self.would_meet(&self.scope.rule(rule).when) != Tri::No {
                return Err(self.broken(rule));
            }
        }
        Ok(())
    }

    fn guard(&mut self, guard: &Guard) -> bool {
        let any = match guard {
            Guard::Always => return true,
            Guard::Is(cube) => self.inside(cube),
            Guard::IsNot(cube) => self.outside(cube),
        };
        self.settle();
        any
    }

    fn wait(&mut self, waits: &[Wait]) -> Result<bool, Reason> {
        for wait in waits {
            if wait.cube.is_empty() || self.choose(2) == 0 {
                let any = self.inside(&wait.cube);
                return if any { self.pass(wait.millis).map(|()| true) } else { Ok(false) };
            }
            if !self.outside(&wait.cube) {
                return Ok(false);
            }
        }
        Ok(true)
    }

    fn inside(&mut self, cube: &Cube) -> bool {
        self.forget();
        cube.iter().all(|part| self.cut(part.var, part.set))
    }

    /// One part is false and those before it are true: a record for each part.
    fn outside(&mut self, cube: &Cube) -> bool {
        self.forget();
        let Ok(parts @ 1..) = u32::try_from(cube.len()) else { return false };
        let is_false = self.choose(parts) as usize;
        let all = |var: u32| self.scope.index.all[var as usize];
        let (left, last) = (&cube[..is_false], cube[is_false]);
        let last = (last.var, all(last.var) & !last.set);
        left.iter().all(|part| self.cut(part.var, part.set)) && self.cut(last.0, last.1)
    }

    fn broken(&self, rule: usize) -> Reason {
        Reason::Rule(self.scope.rule(rule).name.clone())
    }

    fn empty(&self, var: u32) -> Reason {
        Reason::Empty(self.scope.form.vars[var as usize].name.clone())
    }
}
