//! Asking many records at once: where some say yes and some say no, both answers are followed, one after the other.

use form::{Cube, Part};

use crate::record::{Known, State, Tri};
use crate::refusal::Reason;
use crate::scope::Scope;

/// More ways than this to answer what a move asks are not followed: the certificate is refused.
const MOST_WAYS: usize = 4096;

/// What was answered so far, and how many answers there were to choose from.
#[derive(Default)]
struct Tape {
    choices: Vec<(u32, u32)>,
    at: usize,
}

impl Tape {
    fn choose(&mut self, of: u32) -> u32 {
        if self.at == self.choices.len() {
            self.choices.push((0, of));
        }
        self.at += 1;
        self.choices[self.at - 1].0
    }

    /// The next way to answer, if there is one.
    fn turn(&mut self) -> bool {
        self.at = 0;
        while let Some((choice, of)) = self.choices.pop() {
            if choice + 1 < of {
                self.choices.push((choice + 1, of));
                return true;
            }
        }
        false
    }
}

/// What is asked about one variable or entry.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Asked {
    Meets(Part),
    Within(Part),
    Has(Part),
    Opened(u32),
    Runs(u32),
    Other,
}

/// Records of a view under way. Every function that asks narrows them to those with that answer.
pub(crate) struct Run<'a> {
    pub(crate) scope: &'a Scope<'a>,
    pub(crate) state: State,
    /// A variable outside the view is known while an effect on it is applied, and no longer.
    guest: Option<(u32, Known)>,
    /// Answers about the record as it is now: the same question is not answered in two ways.
    answers: Vec<(Asked, bool)>,
    tape: Tape,
    /// Variables that the effect at hand surely changed.
    pub(crate) changed: Vec<u32>,
    /// Variables that it changed in some records.
    pub(crate) perhaps: Vec<u32>,
}

impl<'a> Run<'a> {
    pub(crate) fn new(scope: &'a Scope<'a>) -> Self {
        let (state, tape) = (scope.blank(), Tape::default());
        Self {
            scope,
            state,
            guest: None,
            answers: Vec::new(),
            tape,
            changed: Vec::new(),
            perhaps: Vec::new(),
        }
    }

    /// Does something from these records, once for each way in which what is asked can be answered.
    pub(crate) fn every<F>(&mut self, from: &State, mut once: F) -> Result<(), Reason>
    where
        F: FnMut(&mut Self) -> Result<(), Reason>,
    {
        self.tape.choices.clear();
        self.tape.at = 0;
        for _ in 0..MOST_WAYS {
            self.state.copy(from);
            self.guest = None;
            self.forget();
            once(self)?;
            if !self.tape.turn() {
                return Ok(());
            }
        }
        Err(Reason::TooManyWays)
    }

    /// Does something with one record, of which every question has one answer; `None` if one had not.
    pub(crate) fn surely<T>(&mut self, from: State, once: impl FnOnce(&mut Self) -> T) -> Option<(State, T)> {
        self.tape.choices.clear();
        self.tape.at = 0;
        self.state = from;
        self.guest = None;
        self.forget();
        let result = once(self);
        self.tape.choices.is_empty().then(|| (std::mem::take(&mut self.state), result))
    }

    /// One of several things that all happen, in some record each.
    pub(crate) fn choose(&mut self, of: u32) -> u32 {
        self.tape.choose(of)
    }

    /// Follows both ways a mark that has to be known; no if there is none.
    pub(crate) fn resolve(&mut self, mark: impl FnOnce(&mut State) -> Option<&mut Tri>) -> bool {
        let mark = mark(&mut self.state);
        mark.map(|mark| *mark = (self.tape.choose(2) == 0).into()).is_some()
    }

    /// The record is another by now: what was answered about it does not count.
    pub(crate) fn forget(&mut self) {
        self.answers.clear();
    }

    /// The answer to a question that can have either.
    pub(crate) fn ask(&mut self, question: Asked) -> bool {
        let known = self.answers.iter().find(|(asked, _)| *asked == question && question != Asked::Other);
        if let Some((_, answer)) = known {
            return *answer;
        }
        let answer = self.tape.choose(2) == 0;
        self.answers.push((question, answer));
        answer
    }

    /// The answer, followed both ways if it can be either.
    pub(crate) fn decide(&mut self, answer: Tri, question: Asked) -> bool {
        match answer {
            Tri::Yes => true,
            Tri::No => false,
            Tri::Either => self.ask(question),
        }
    }

    /// What is known of a variable: outside the view nothing, at no moment.
    pub(crate) fn known(&self, var: u32) -> Known {
        match (self.scope.slot(var), self.guest) {
            (Some(slot), _) => self.state.vars[slot],
            (None, Some((guest, known))) if guest == var => known,
            _ => Known::new(self.scope.index.all[var as usize], false),
        }
    }

    /// A variable of the view, or the guest.
    fn place(&mut self, var: u32) -> Option<&mut Known> {
        match (self.scope.slot(var), &mut self.guest) {
            (Some(slot), _) => self.state.vars.get_mut(slot),
            (None, Some((guest, known))) if *guest == var => Some(known),
            _ => None,
        }
    }

    /// Changes a variable; outside the view nothing comes of it.
    pub(crate) fn change(&mut self, var: u32, change: impl FnOnce(&mut Known)) {
        self.forget();
        if let Some(place) = self.place(var) {
            change(place);
        }
    }

    /// An effect on a variable begins: outside the view, it matters only if it can end something inside.
    pub(crate) fn invite(&mut self, var: u32) {
        let is_guest = self.scope.slot(var).is_none() && self.scope.reaches[var as usize];
        self.guest = None;
        self.guest = is_guest.then(|| (var, self.known(var)));
        self.forget();
    }

    /// The effect is over.
    pub(crate) fn dismiss(&mut self) {
        self.guest = None;
        self.forget();
    }

    /// Whether anything is kept about a variable.
    pub(crate) fn follows(&self, var: u32) -> bool {
        self.scope.slot(var).is_some() || self.guest.is_some_and(|(guest, _)| guest == var)
    }

    /// The records with `may(v)` cut down to the set; no for those of which nothing is left.
    pub(crate) fn cut(&mut self, var: u32, set: u64) -> bool {
        let left = self.known(var).cut(set);
        if let Some(place) = self.place(var) {
            *place = left;
        }
        left.may != 0
    }

    pub(crate) fn meets(&mut self, part: Part) -> bool {
        let answer = self.known(part.var).meets(part.set);
        let yes = self.decide(answer, Asked::Meets(part));
        if answer == Tri::Either && !yes {
            self.cut(part.var, !part.set);
        }
        yes
    }

    pub(crate) fn within(&mut self, part: Part) -> bool {
        let answer = self.known(part.var).within(part.set);
        let yes = self.decide(answer, Asked::Within(part));
        if answer == Tri::Either && yes {
            self.cut(part.var, part.set);
        }
        yes
    }

    pub(crate) fn cube_meets(&mut self, cube: &Cube) -> bool {
        cube.iter().all(|part| self.meets(*part))
    }

    pub(crate) fn holds(&mut self, cube: &Cube) -> bool {
        cube.iter().all(|part| self.within(*part))
    }

    /// Whether the cube meets, of all of the records.
    pub(crate) fn would_meet(&self, cube: &Cube) -> Tri {
        cube.iter().map(|part| self.known(part.var).meets(part.set)).min().unwrap_or(Tri::Yes)
    }

    /// Whether the cube holds, of all of the records.
    pub(crate) fn would_hold(&self, cube: &Cube) -> Tri {
        cube.iter().map(|part| self.known(part.var).within(part.set)).min().unwrap_or(Tri::Yes)
    }
}
