//! Effects, and the rules that they bring to light.

use form::{Effect, EffectKind, Part};

use crate::record::{Context, Record, has, set_terms};
use crate::term::{FALSE, TRUE, Term};

impl Context<'_> {
    /// Applies an effect, and says what it changed.
    pub(crate) fn apply(&mut self, record: &mut Record, effect: &Effect) -> Vec<Term> {
        let var = effect.var;
        let count = self.form.vars[var as usize].values.len();
        let set = set_terms(effect.set, count);
        match effect.kind {
            EffectKind::Write => self.act(record, var, &set, FALSE),
            EffectKind::Open => self.act(record, var, &vec![TRUE; count], TRUE),
            EffectKind::Look => self.look(record, Part { var, set: effect.set }),
            EffectKind::Find => {
                let agrees = self.touches(record, Part { var, set: effect.set });
                let contradicts = self.terms.not(agrees);
                self.only_looks_count(record, var, contradicts);
                let changed = self.put(record, var, &set, FALSE);
                self.shown(record, var, &set);
                changed
            }
            EffectKind::Lose => self.put(record, var, &vec![TRUE; count], TRUE),
            EffectKind::Verify => {
                record.opened[var as usize] = FALSE;
                self.none()
            }
        }
    }

    fn act(&mut self, record: &mut Record, var: u32, set: &[Term], opened: Term) -> Vec<Term> {
        let changed = self.put(record, var, set, opened);
        for promise in self.form.promises.iter().filter(|promise| promise.usual) {
            let var = promise.part.var as usize;
            record.wrote[var] = self.terms.or(&[record.wrote[var], changed[var]]);
        }
        changed
    }

    fn look(&mut self, record: &mut Record, part: Part) -> Vec<Term> {
        let var = part.var as usize;
        let agrees = self.touches(record, part);
        let surprise = self.terms.not(agrees);
        self.only_looks_count(record, part.var, surprise);
        let values = record.may[var].clone().into_iter().enumerate();
        let seen: Vec<Term> = values
            .map(|(value, may)| if has(part.set, value) { self.terms.or(&[surprise, may]) } else { FALSE })
            .collect();
        let is_put = self.terms.or(&[surprise, record.opened[var]]);

        let mut put = record.clone();
        let changed_by_put = self.put(&mut put, part.var, &seen, FALSE);

        let mut kept = record.clone();
        self.set_may(&mut kept, part.var, seen.clone());
        self.settle(&mut kept, TRUE);
        let mut due = self.none();
        due[var] = self.fleeting(&kept, &kept, part.var);
        let changed_by_losing = self.lose(&mut kept, due);

        *record = self.either(is_put, &put, &kept);
        self.shown(record, part.var, &seen);
        self.either_terms(is_put, &changed_by_put, &changed_by_losing)
    }

    /// Where the term is so, only looks count of the variable.
    fn only_looks_count(&mut self, record: &mut Record, var: u32, when: Term) {
        if self.form.vars[var as usize].is_hidden {
            return;
        }
        if let Some(first) = self.form.settling.iter().position(|entry| entry.var == var) {
            record.look_only[first] = self.terms.or(&[record.look_only[first], when]);
        }
    }

    /// The variable was shown to be in the set: what would hold by that is found.
    fn shown(&mut self, record: &mut Record, var: u32, set: &[Term]) {
        let form = self.form;
        if !form.settling.iter().any(|entry| entry.var == var) {
            return;
        }
        let mut narrowed = record.clone();
        for (may, set) in narrowed.may[var as usize].iter_mut().zip(set) {
            *may = self.terms.and(&[*may, *set]);
        }
        for (rule, it) in form.rules.iter().enumerate() {
            if it.when.iter().any(|part| part.var == var) {
                let holds = self.holds(&narrowed, &it.when);
                record.found[rule] = self.terms.or(&[record.found[rule], holds]);
            }
        }
    }

    /// What holds of the rules that name one of the variables is found; what does not meet is found no more.
    pub(crate) fn note(&mut self, record: &mut Record, vars: &[Term]) {
        let form = self.form;
        for (rule, it) in form.rules.iter().enumerate() {
            let named = self.names(&it.when, vars);
            let holds = self.holds(record, &it.when);
            let new = self.terms.and(&[named, holds]);
            record.found[rule] = self.terms.or(&[record.found[rule], new]);
        }
        self.found_no_more(record);
    }

    /// What does not meet is found no more.
    pub(crate) fn found_no_more(&mut self, record: &mut Record) {
        let form = self.form;
        for (rule, it) in form.rules.iter().enumerate() {
            let meets = self.meets(record, &it.when);
            record.found[rule] = self.terms.and(&[record.found[rule], meets]);
        }
    }

    /// Whether a cube names one of the variables.
    pub(crate) fn names(&mut self, cube: &form::Cube, vars: &[Term]) -> Term {
        let named: Vec<Term> = cube.iter().map(|part| vars[part.var as usize]).collect();
        self.terms.or(&named)
    }
}
