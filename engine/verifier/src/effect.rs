//! What effects and time do to records: the second half of section 2.

use form::{Effect, EffectKind, Part, Standing};

use crate::record::{Known, Tri};
use crate::refusal::Reason;
use crate::run::{Asked, Run};

impl Run<'_> {
    /// Applies an effect; `changed` has what it changed. `misses`: a look or find has nothing in common with the record.
    pub(crate) fn apply(&mut self, effect: &Effect, misses: bool) {
        let (var, all) = (effect.var, self.scope.index.all[effect.var as usize]);
        self.changed.clear();
        self.perhaps.clear();
        if !self.follows(var) {
            if effect.kind != EffectKind::Verify {
                self.settle();
            }
            return;
        }
        let said = Known::new(effect.set, true);
        match effect.kind {
            EffectKind::Write => self.act(var, said, false),
            EffectKind::Open => self.act(var, Known::new(all, true), true),
            EffectKind::Look => self.look(var, said, misses),
            EffectKind::Find => {
                if misses {
                    self.only_looks_count(var);
                }
                self.put(var, said, false);
                self.shown(var, said);
            }
            EffectKind::Lose => self.put(var, Known::new(all, true), true),
            EffectKind::Verify => self.change(var, |known| known.opened = Tri::No),
        }
    }

    fn act(&mut self, var: u32, value: Known, opened: bool) {
        self.put(var, value, opened);
        for i in 0..self.changed.len() {
            let changed = self.changed[i];
            if self.scope.index.usual[changed as usize] {
                self.change(changed, |known| known.wrote = Tri::Yes);
            }
        }
    }

    fn look(&mut self, var: u32, said: Known, surprise: bool) {
        if surprise {
            self.only_looks_count(var);
        }
        let seen = if surprise { said } else { self.known(var).cut(said.may) };
        let opened = self.known(var).opened;
        if surprise || self.decide(opened, Asked::Opened(var)) {
            self.put(var, seen, false);
        } else {
            self.change(var, |known| {
                known.set_values(seen);
                known.opened = Tri::No;
            });
            self.settle();
            let lost = self.fleeting(var);
            self.lose(if lost { vec![var] } else { Vec::new() });
        }
        self.shown(var, seen);
    }

    pub(crate) fn put(&mut self, var: u32, value: Known, opened: bool) {
        let mut may = value.may;
        for s in &self.scope.index.settling[var as usize] {
            let entry = &self.scope.form.settling[*s as usize];
            if value.meets(entry.from) != Tri::No {
                may |= entry.to;
            }
        }
        self.change(var, |known| {
            known.set_values(Known::new(may, value.exact));
            known.opened = opened.into();
        });
        self.changed.push(var);
        let lost = self.fleeting(var);
        self.end_evidence(if lost { vec![var] } else { Vec::new() });
        self.reset_clocks();
    }

    /// Loses variables; what some records lose is in `perhaps` already.
    pub(crate) fn lose(&mut self, due: Vec<u32>) {
        if !due.is_empty() || !self.perhaps.is_empty() {
            self.end_evidence(due);
            self.reset_clocks();
        }
    }

    /// The clocks of what changed.
    fn reset_clocks(&mut self) {
        let scope = self.scope;
        for var in &self.changed {
            for s in &scope.index.settling[*var as usize] {
                if let Some(slot) = scope.entry_slot(*s) {
                    self.state.clocks[slot].set(0);
                }
            }
        }
        self.settle();
    }

    /// Ends what is due, and what ends by that. A cube that meets goes on meeting when more is ended, so that the order in
    /// which variables are ended does not matter: they are ended one by one, each cube judged when a variable in it changes.
    fn end_evidence(&mut self, mut due: Vec<u32>) {
        let scope = self.scope;
        let (mut ended, mut sure, mut unsure) = (Vec::new(), 0, 0);
        loop {
            for var in due.drain(..) {
                let all = Known::new(scope.index.all[var as usize], true);
                self.change(var, |known| *known = Known { opened: Tri::Yes, wrote: known.wrote, ..all });
                self.changed.push(var);
                ended.push(var);
            }
            let (cause, is_sure) = match (self.changed.get(sure), self.perhaps.get(unsure)) {
                (Some(cause), _) => (*cause, true),
                (None, Some(cause)) => (*cause, false),
                (None, None) => return,
            };
            *(if is_sure { &mut sure } else { &mut unsure }) += 1;
            for l in &scope.index.causes[cause as usize] {
                let loss = &scope.form.lost_when[*l as usize];
                if ended.contains(&loss.var)
                    || due.contains(&loss.var)
                    || self.would_meet(&loss.when) == Tri::No
                {
                    continue;
                }
                if !self.follows(loss.var) {
                    if scope.reaches[loss.var as usize] && !self.perhaps.contains(&loss.var) {
                        self.forget();
                        self.perhaps.push(loss.var);
                    }
                } else if (is_sure || self.ask(Asked::Other)) && self.cube_meets(&loss.when) {
                    due.push(loss.var);
                }
            }
        }
    }

    /// Whether a variable is fleeting.
    pub(crate) fn fleeting(&mut self, var: u32) -> bool {
        let all = self.scope.index.all[var as usize];
        let answer = self.stood_over(var).min(!self.known(var).has(all));
        self.decide(answer, Asked::Other)
    }

    /// Whether a variable is stood over.
    pub(crate) fn stood_over(&self, var: u32) -> Tri {
        if !self.scope.index.may_fleet[var as usize] {
            return Tri::No;
        }
        let least = |least: Tri| self.is_reached(var, least);
        if least(Tri::Yes) {
            Tri::Yes
        } else if least(Tri::Either) {
            Tri::Either
        } else {
            Tri::No
        }
    }

    /// Whether from a variable, by way of those stood over, a cause is reached; cubes count with at least this answer.
    fn is_reached(&self, from: u32, least: Tri) -> bool {
        let form = self.scope.form;
        let falls = |s: &u32| {
            let entry = &form.settling[*s as usize];
            self.known(entry.var).meets(entry.from) >= least
        };
        let (mut asked, mut at) = (vec![from], 0);
        while let Some(var) = asked.get(at).copied() {
            at += 1;
            for l in &self.scope.index.losses[var as usize] {
                let loss = &form.lost_when[*l as usize];
                if loss.standing == Standing::Event || self.would_meet(&loss.when) < least {
                    continue;
                }
                let Standing::ByItself { falling, stood_over } = &loss.standing else { return true };
                if falling.iter().any(falls) {
                    return true;
                }
                for next in stood_over {
                    if !asked.contains(next) {
                        asked.push(*next);
                    }
                }
            }
        }
        false
    }

    /// Where it is open whether time is lost, an exact clock is followed both ways; another is at least 0 from here.
    pub(crate) fn settle(&mut self) {
        let scope = self.scope;
        for (slot, s) in scope.entries.iter().enumerate() {
            let entry = &scope.form.settling[*s as usize];
            let known = self.known(entry.var);
            match known.meets(entry.from) {
                Tri::No => self.state.clocks[slot].set(entry.after),
                Tri::Either => self.state.clocks[slot].exact &= self.state.clocks[slot].least == entry.after,
                Tri::Yes => {}
            }
            if known.may & entry.from != 0 && known.may | entry.to != known.may {
                let exact = known.exact;
                self.change(entry.var, |known| known.set_values(Known::new(known.may | entry.to, exact)));
            }
        }
        for (slot, s) in scope.entries.iter().enumerate() {
            let entry = &scope.form.settling[*s as usize];
            let (Some(cube), clock) = (&entry.holds, self.state.clocks[slot]) else { continue };
            let from = Part { var: entry.var, set: entry.from };
            let is_lost = self.known(entry.var).meets(entry.from).min(!self.would_hold(cube));
            if clock.runs() == Tri::No || is_lost == Tri::No {
                continue;
            }
            if is_lost == Tri::Yes || (clock.exact && self.meets(from) && !self.holds(cube)) {
                self.state.clocks[slot].set(0);
            } else if !clock.exact {
                self.state.clocks[slot].least = 0;
            }
        }
    }

    /// Time passes.
    pub(crate) fn pass(&mut self, millis: u64) -> Result<(), Reason> {
        let scope = self.scope;
        // By the record before: who is stood over, and which clocks run.
        let mut settled: Vec<(u32, Tri, Tri)> =
            scope.timed().map(|var| (var, self.stood_over(var), Tri::No)).collect();
        let mut runs = Vec::with_capacity(scope.entries.len());
        for (slot, s) in scope.entries.iter().enumerate() {
            let entry = &scope.form.settling[*s as usize];
            let mut run = entry.holds.as_ref().map_or(Tri::Yes, |cube| self.would_hold(cube));
            if let (Tri::Either, true, Some(cube)) = (run, self.state.clocks[slot].exact, &entry.holds) {
                run = self.holds(cube).into();
            }
            runs.push(run);
        }
        for ((slot, s), run) in scope.entries.iter().enumerate().zip(runs) {
            let entry = &scope.form.settling[*s as usize];
            let clock = &mut self.state.clocks[slot];
            if run == Tri::Yes {
                clock.least = entry.after.min(clock.least.saturating_add(millis));
                clock.exact |= clock.least == entry.after;
            }
            let is_over = if clock.least == entry.after {
                Tri::Yes
            } else if clock.exact {
                Tri::No
            } else {
                Tri::Either
            };
            let mut gone = run.min(is_over).min(!clock.look_only);
            let known = self.known(entry.var);
            let had = known.meets(entry.from);
            if gone == Tri::Either && had != Tri::No && known.exact {
                gone = self.ask(Asked::Other).into();
            }
            if gone == Tri::Yes {
                self.state.clocks[slot].set(entry.after);
                let left = known.cut(!entry.from);
                if left.may == 0 {
                    return Err(Reason::Empty(scope.form.vars[entry.var as usize].name.clone()));
                }
                self.change(entry.var, |known| known.set_values(left));
            }
            for (_, _, was) in settled.iter_mut().filter(|(var, ..)| *var == entry.var) {
                *was = (*was).max(had.min(gone));
            }
        }
        self.forget();
        self.lose_settled(&settled);
        Ok(())
    }

    /// Loses what settled and is fleeting: variables with whether they were stood over and whether they settled.
    fn lose_settled(&mut self, settled: &[(u32, Tri, Tri)]) {
        self.changed.clear();
        self.perhaps.clear();
        let mut due = Vec::new();
        for (var, stood_over, settled) in settled {
            let is_inside = self.scope.slot(*var).is_some();
            let settled = if is_inside { *settled } else { Tri::Either };
            let all = self.scope.index.all[*var as usize];
            let answer = settled.min(*stood_over).min(!self.known(*var).has(all));
            if is_inside && self.decide(answer, Asked::Other) {
                due.push(*var);
            } else if !is_inside && answer != Tri::No {
                self.perhaps.push(*var);
            }
        }
        self.lose(due);
    }

    fn only_looks_count(&mut self, var: u32) {
        if self.scope.form.vars[var as usize].is_hidden {
            return;
        }
        let first = self.scope.index.settling[var as usize].first();
        if let Some(slot) = first.and_then(|s| self.scope.entry_slot(*s)) {
            self.state.clocks[slot].look_only = Tri::Yes;
        }
    }

    /// Rules that hold by what was seen of a variable are found. What was seen is a part of what it may be by now.
    fn shown(&mut self, var: u32, seen: Known) {
        let scope = self.scope;
        if scope.index.settling[var as usize].is_empty() || scope.slot(var).is_none() {
            return;
        }
        let now = self.known(var);
        self.change(var, |known| known.set_values(seen));
        self.find(var);
        self.change(var, |known| known.set_values(now));
    }

    /// Rules that name a variable and hold are found.
    fn find(&mut self, var: u32) {
        let scope = self.scope;
        for rule in scope.rules_of(var) {
            let rule = *rule as usize;
            if !self.state.found[rule] && self.holds(&scope.rule(rule).when) {
                self.state.found[rule] = true;
            }
        }
    }

    /// Notes variables: rules are found, and rules found before end.
    pub(crate) fn note(&mut self, vars: &[u32]) {
        for var in vars {
            self.find(*var);
        }
        self.end_rules();
    }

    /// Each rule found that does not meet is found no more; whether any was.
    pub(crate) fn end_rules(&mut self) -> bool {
        let (scope, mut any) = (self.scope, false);
        for rule in 0..self.state.found.len() {
            if self.state.found[rule] && !self.cube_meets(&scope.rule(rule).when) {
                self.state.found[rule] = false;
                any = true;
            }
        }
        any
    }
}
