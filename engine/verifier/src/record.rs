//! Many records as one: what is sure of all of them, and what may be so of some and not of others.
use form::{Form, Part};

/// An answer about many records: no, yes, or yes of some and no of others. Not is minus, and is `min`, or is `max`.
pub(crate) type Tri = i8;
pub(crate) const NO: Tri = -1;
pub(crate) const EITHER: Tri = 0;
pub(crate) const YES: Tri = 1;
pub(crate) fn tri(yes: bool) -> Tri {
    if yes { YES } else { NO }
}
pub(crate) fn all(answers: impl Iterator<Item = Tri>) -> Tri {
    answers.min().unwrap_or(YES)
}
pub(crate) fn any(answers: impl Iterator<Item = Tri>) -> Tri {
    answers.max().unwrap_or(NO)
}
/// The answers that some record gives.
pub(crate) fn ways(answer: Tri) -> &'static [bool] {
    &[false, true][usize::from(answer == YES)..1 + usize::from(answer != NO)]
}
/// A variable. If `exact`, `may(v)` and the clocks of its entries are as said; else `may(v)` is a part of `may`, not empty, and the
/// clocks are that or more.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Known {
    pub(crate) may: u64,
    pub(crate) exact: bool,
}
impl Known {
    /// Whether `may(v)` and the set have something in common. That it is a part of the set: that it does not meet `!set`.
    pub(crate) fn meets(self, set: u64) -> Tri {
        if self.may & set == 0 { NO } else { Tri::from(self.exact || self.may & !set == 0) }
    }
    /// Whether the set, which is not empty, is a part of `may(v)`.
    pub(crate) fn has(self, set: u64) -> Tri {
        if set & !self.may != 0 { NO } else { Tri::from(self.exact || self.may.count_ones() == 1) }
    }
}

/// What is known of variables, entries of `settling` and rules, by their numbers. Of a rule that is not followed it is open whether it
/// is found, of another it is not.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct State {
    pub(crate) vars: Vec<Known>,
    pub(crate) clocks: Vec<u64>,
    pub(crate) opened: Vec<Tri>,
    pub(crate) wrote: Vec<Tri>,
    pub(crate) look_only: Vec<Tri>,
    pub(crate) found: Vec<Tri>,
}
impl State {
    /// No value ruled out and no time passed: the one record with no marks, or any record whatever.
    pub(crate) fn blank(form: &Form, exact: bool) -> Self {
        let mark = |count: usize| vec![if exact { NO } else { EITHER }; count];
        let (vars, clocks) = (form.vars.iter().map(|it| Known { may: it.all(), exact }), &form.settling);
        let (opened, look_only, found) = (mark(vars.len()), mark(clocks.len()), mark(form.rules.len()));
        let (vars, clocks) = (vars.collect(), vec![0; clocks.len()]);
        Self { vars, clocks, wrote: opened.clone(), opened, look_only, found }
    }
    pub(crate) fn marks(&self) -> impl Iterator<Item = &Tri> {
        self.opened.iter().chain(&self.wrote).chain(&self.look_only).chain(&self.found)
    }
    pub(crate) fn of(&self, var: u32) -> Known {
        self.vars[var as usize]
    }
    pub(crate) fn meets(&self, cube: &[Part]) -> Tri {
        all(cube.iter().map(|part| self.of(part.var).meets(part.set)))
    }
    pub(crate) fn holds(&self, cube: &[Part]) -> Tri {
        all(cube.iter().map(|part| -self.of(part.var).meets(!part.set)))
    }
    /// What is known of values, in words.
    pub(crate) fn words(&self, form: &Form) -> String {
        let known = self.vars.iter().zip(&form.vars).filter(|(known, var)| known.may != var.all());
        let words = known.map(|(known, var)| format!("{} {}", var.name, var.named(known.may)));
        words.collect::<Vec<_>>().join(", ")
    }
}
