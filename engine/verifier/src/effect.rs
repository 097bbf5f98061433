//! What effects and time do to records: the second half of section 2. Where it is open whether something happens, the records become
//! those to which it did and those to which it did not: bounds get wider, and what was exact is not.
use crate::record::{EITHER, Known, NO, State, Tri, YES, any};
use crate::refusal::{Reason, none};
use form::{Effect, EffectKind, Form, Loss, Part, Rule, Settling, Standing};

/// Records under way, and what effects changed so far, surely or perhaps.
#[derive(Clone)]
pub(crate) struct Run<'a> {
    pub(crate) form: &'a Form,
    pub(crate) state: State,
    pub(crate) changed: Vec<(u32, Tri)>,
}

pub(crate) fn is_act(effect: &Effect) -> bool {
    matches!(effect.kind, EffectKind::Write | EffectKind::Open)
}
fn names(cube: &[Part], var: u32) -> bool {
    cube.iter().any(|part| part.var == var)
}

impl<'a> Run<'a> {
    /// All values of a variable.
    pub(crate) fn every(&self, var: u32) -> u64 {
        self.form.vars[var as usize].all()
    }
    /// The entries of `settling` of a variable, with their numbers.
    pub(crate) fn entries(&self, var: u32) -> impl Iterator<Item = (usize, &'a Settling)> + use<'a> {
        self.form.settling.iter().enumerate().filter(move |(_, entry)| entry.var == var)
    }
    /// What ends what is known of a variable.
    pub(crate) fn losses(&self, var: u32) -> impl Iterator<Item = &'a Loss> + use<'a> {
        self.form.lost_when.iter().filter(move |loss| loss.var == var)
    }
    /// Applies an effect. `misses`: the record has nothing in common with it; `opened`: the variable is, before a look.
    pub(crate) fn apply(&mut self, effect: &Effect, misses: bool, opened: bool) -> Result<(), Reason> {
        let (var, v, start) = (effect.var, effect.var as usize, self.changed.len());
        let (known, entry) = (self.state.vars[v], self.entries(var).next());
        let (every, said) = (self.every(var), Known { may: effect.set, exact: true });
        match effect.kind {
            EffectKind::Write => self.put(var, said, NO),
            EffectKind::Open | EffectKind::Lose => self.put(var, Known { may: every, exact: true }, YES),
            EffectKind::Verify => self.state.opened[v] = NO,
            EffectKind::Look | EffectKind::Find => {
                if let (true, false, Some((s, _))) = (misses, self.form.vars[v].is_hidden, entry) {
                    self.state.look_only[s] = YES;
                }
                let is_said = misses || effect.kind == EffectKind::Find;
                let seen = if is_said { said } else { Known { may: known.may & effect.set, ..known } };
                if is_said || opened {
                    self.put(var, seen, NO);
                } else {
                    (self.state.vars[v], self.state.opened[v]) = (seen, NO);
                    self.settle(YES);
                    self.lose(vec![(var, self.fleeting(var))]);
                }
                if entry.is_some() {
                    // Shown: what was seen is a part of what it may be by now.
                    let now = std::mem::replace(&mut self.state.vars[v], seen);
                    self.find(&[(var, YES)])?;
                    self.state.vars[v] = now;
                }
            }
        }
        let is_usual = |v: u32| self.form.promises.iter().any(|it| it.usual && it.part.var == v);
        for (v, sure) in self.changed[start..].iter().filter(|(v, _)| is_act(effect) && is_usual(*v)) {
            self.state.wrote[*v as usize] = self.state.wrote[*v as usize].max(*sure);
        }
        Ok(())
    }
    fn put(&mut self, var: u32, value: Known, opened: Tri) {
        let comes = |entry: &Settling| if value.may & entry.from == 0 { 0 } else { entry.to };
        let may = self.entries(var).fold(value.may, |may, (_, entry)| may | comes(entry));
        self.forget(var, YES, opened);
        (self.state.vars[var as usize], self.state.opened[var as usize]) = (Known { may, ..value }, opened);
        self.changed.push((var, YES));
        self.end_evidence(self.changed.len() - 1, vec![(var, self.fleeting(var))]);
        self.settle(YES);
    }
    /// Loses variables, some of them perhaps. Where nothing may be lost, perhaps nothing happens at all.
    pub(crate) fn lose(&mut self, due: Vec<(u32, Tri)>) {
        let sure = any(due.iter().map(|(_, sure)| *sure));
        if sure != NO {
            self.end_evidence(self.changed.len(), due);
            self.settle(sure);
        }
    }
    /// Ends what is due, and what ends by what changed, from this entry of `changed` on. A cube that meets goes on meeting when more
    /// is ended: in which order is all the same, and each cube is judged again when a variable of it is ended.
    fn end_evidence(&mut self, mut at: usize, mut due: Vec<(u32, Tri)>) {
        let mut ended = vec![NO; self.state.vars.len()];
        loop {
            for (var, sure) in due.drain(..) {
                if sure > ended[var as usize] {
                    ended[var as usize] = sure;
                    self.forget(var, sure, sure);
                    self.changed.push((var, sure));
                }
            }
            let Some((cause, sure)) = self.changed.get(at) else { return };
            let losses = self.form.lost_when.iter().filter(|loss| names(&loss.when, *cause));
            due.extend(losses.map(|loss| (loss.var, self.state.meets(&loss.when).min(*sure))));
            at += 1;
        }
    }
    /// From here a variable may be anything, surely or perhaps, with no time passed, and is opened, surely or perhaps.
    pub(crate) fn forget(&mut self, var: u32, sure: Tri, opened: Tri) {
        let (v, may) = (var as usize, self.every(var));
        let clocks = self.entries(var).map(|(s, _)| std::mem::take(&mut self.state.clocks[s]));
        let is_as_before = self.state.vars[v] == Known { may, exact: true };
        let exact = clocks.fold(is_as_before, |same, millis| same && millis == 0) || sure == YES;
        (self.state.vars[v], self.state.opened[v]) = (Known { may, exact }, self.state.opened[v].max(opened));
    }
    pub(crate) fn fleeting(&self, var: u32) -> Tri {
        let is_known = -self.state.of(var).has(self.every(var));
        if is_known == NO { NO } else { is_known.min(self.stood_over(var, &mut Vec::new())) }
    }
    /// Whether a variable is stood over. What was asked about already is not asked again; if it was by way of a cube that may meet or
    /// not, the answer is that as well.
    fn stood_over(&self, var: u32, asked: &mut Vec<u32>) -> Tri {
        asked.push(var);
        any(self.losses(var).map(|loss| match (self.state.meets(&loss.when), &loss.standing) {
            (NO, _) | (_, Standing::Event) => NO,
            (meets, Standing::Feeds) => meets,
            (meets, Standing::ByItself { falling, stood_over }) => {
                let mut over = |v: &u32| if asked.contains(v) { NO } else { self.stood_over(*v, asked) };
                let falling = falling.iter().map(|s| &self.form.settling[*s as usize]);
                let falls = any(falling.map(|entry| self.state.of(entry.var).meets(entry.from)));
                meets.min(falls.max(any(stood_over.iter().map(&mut over))))
            }
        }))
    }
    /// Settles, surely or perhaps.
    pub(crate) fn settle(&mut self, sure: Tri) {
        let (settling, state) = (&self.form.settling, &mut self.state);
        for (entry, millis) in settling.iter().zip(&mut state.clocks) {
            let known = &mut state.vars[entry.var as usize];
            let is_out = known.meets(entry.from) == NO;
            let (to, after) = if is_out { (0, entry.after) } else { (entry.to, *millis) };
            known.exact &= sure == YES || (known.may & to == to && *millis == after);
            known.may |= to;
            *millis = if sure == YES { after } else { *millis };
        }
        for (s, entry) in settling.iter().enumerate() {
            let fails = entry.holds.as_ref().map_or(NO, |cube| -state.holds(cube));
            let is_lost = sure.min(fails).min(state.of(entry.var).meets(entry.from));
            if is_lost != NO && state.clocks[s] > 0 {
                state.clocks[s] = 0;
                state.vars[entry.var as usize].exact &= is_lost == YES;
            }
        }
    }
    /// Lets time pass.
    pub(crate) fn pass(&mut self, time: u64) -> Result<(), Reason> {
        let (before, mut due) = (self.clone(), Vec::new());
        for (s, entry) in self.form.settling.iter().enumerate() {
            let (known, millis) = (&mut self.state.vars[entry.var as usize], &mut self.state.clocks[s]);
            let runs = entry.holds.as_ref().map_or(YES, |cube| before.state.holds(cube));
            *millis = if runs == YES { entry.after.min(millis.saturating_add(time)) } else { *millis };
            known.exact &= runs != EITHER || *millis == entry.after;
            let is_over = if *millis == entry.after { YES } else { -Tri::from(known.exact) };
            let is_gone = runs.min(is_over).min(-self.state.look_only[s]);
            let settled = is_gone.min(known.meets(entry.from));
            if settled != NO {
                let name = &self.form.vars[entry.var as usize].name;
                none(Some(name).filter(|_| known.may & !entry.from == 0), "no value may be left of")?;
                known.exact &= is_gone == YES;
                known.may &= if is_gone == YES { !entry.from } else { u64::MAX };
                due.push((entry.var, settled.min(before.stood_over(entry.var, &mut Vec::new()))));
            }
        }
        // What lost a value is not all by now. What time changes, no effect does.
        self.lose(due);
        self.changed.clear();
        Ok(())
    }
    /// Rules that name one of some variables and hold are found.
    pub(crate) fn find(&mut self, named: &[(u32, Tri)]) -> Result<(), Reason> {
        let is_named = |rule: &Rule| any(named.iter().filter(|it| names(&rule.when, it.0)).map(|it| it.1));
        self.turn(NO, |rule, state| match state.holds(&rule.when) {
            NO => NO,
            holds => holds.min(is_named(rule)),
        })
    }
    /// Rules found that do not meet are found no more.
    pub(crate) fn end_rules(&mut self) -> Result<(), Reason> {
        self.turn(YES, |rule, state| -state.meets(&rule.when))
    }
    /// Turns rules that are found, or that are not, into what they are not.
    fn turn(&mut self, found: Tri, turns: impl Fn(&Rule, &State) -> Tri) -> Result<(), Reason> {
        for (r, rule) in self.form.rules.iter().enumerate() {
            let turns = if self.state.found[r] == found { turns(rule, &self.state) } else { NO };
            none(Some(&rule.name).filter(|_| turns == EITHER), "it is open whether this is found:")?;
            self.state.found[r] = if turns == YES { -found } else { self.state.found[r] };
        }
        Ok(())
    }
    /// Whether effects changed a variable of a rule that may be broken by now.
    pub(crate) fn breaks(&self, rule: &Rule) -> bool {
        self.changed.iter().any(|it| names(&rule.when, it.0)) && self.state.meets(&rule.when) != NO
    }
    /// The rules found.
    pub(crate) fn found(&self) -> impl Iterator<Item = &'a String> + '_ {
        let rules = self.form.rules.iter().zip(&self.state.found);
        rules.filter(|(_, found)| **found == YES).map(|(rule, _)| &rule.name)
    }
}
