//! Which step of the new revision is which step of the old one.
//!
//! Equal content finds a step wherever it went and whatever it is called; then the name; then the place between two
//! steps that were found.

use document::model::{Answer, Kind, Name, Procedure, Step, Target};
use std::collections::BTreeMap;

/// All steps of a procedure in written order, inner ones after the step that holds them.
pub(super) struct Steps<'a> {
    pub(super) all: Vec<(String, &'a Step)>,
    contents: Vec<String>,
}

impl<'a> Steps<'a> {
    pub(super) fn collect(procedure: &'a Procedure) -> Self {
        let mut all = Vec::new();
        collect(&procedure.steps, "/steps", &mut all);
        let contents = all.iter().map(|(_, step)| content(step)).collect();
        Self { all, contents }
    }

    fn main_key(&self, at: usize) -> &'static str {
        self.all[at].1.kind.main_key()
    }
}

fn collect<'a>(steps: &'a [Step], at: &str, all: &mut Vec<(String, &'a Step)>) {
    for (index, step) in steps.iter().enumerate() {
        let pointer = format!("{at}/{index}");
        all.push((pointer.clone(), step));
        if let Some((segment, inner)) = step.inner() {
            collect(inner, &format!("{pointer}{segment}"), all);
        }
    }
}

/// What a step says, without names of steps and without the steps inside it.
fn content(step: &Step) -> String {
    let nowhere = || Target(Name::from(""));
    let mut bare = step.clone();
    bare.common.id = Name::from("");
    bare.common.then = None;
    bare.common.otherwise = None;
    match &mut bare.kind {
        Kind::Ask(question) => {
            for answer in question.answers.values_mut() {
                match answer {
                    Answer::Goes(target) => *target = nowhere(),
                    Answer::Shows(outcome) => outcome.then = nowhere(),
                }
            }
        }
        Kind::AnyOrder(items) => items.clear(),
        Kind::Repeat(repeat) => repeat.steps.clear(),
        Kind::Do(_)
        | Kind::Action(_)
        | Kind::Confirm(_)
        | Kind::Measure(_)
        | Kind::Wait(_)
        | Kind::Hold(_)
        | Kind::Fasten(_)
        | Kind::Perform(_) => {}
    }
    format!("{bare:?}")
}

/// Pairs of steps, by their numbers in both revisions.
pub(super) struct Matching {
    pub(super) new_of: BTreeMap<usize, usize>,
    pub(super) old_of: BTreeMap<usize, usize>,
}

impl Matching {
    pub(super) fn between(old: &Steps<'_>, new: &Steps<'_>) -> Self {
        let mut matching = Self { new_of: BTreeMap::new(), old_of: BTreeMap::new() };
        let id = |steps: &Steps<'_>, at: usize| steps.all[at].1.common.id.clone();
        matching.pair(old, new, |a, b| id(old, a) == id(new, b) && old.contents[a] == new.contents[b]);
        matching.pair(old, new, |a, b| old.contents[a] == new.contents[b]);
        matching.pair(old, new, |a, b| id(old, a) == id(new, b));
        matching.by_place(old, new);
        matching
    }

    fn link(&mut self, old: usize, new: usize) {
        self.new_of.insert(old, new);
        self.old_of.insert(new, old);
    }

    /// Links steps that are alike where no other is: what is alike twice says nothing.
    fn pair(&mut self, old: &Steps<'_>, new: &Steps<'_>, alike: impl Fn(usize, usize) -> bool) {
        let free_old: Vec<usize> = (0..old.all.len()).filter(|at| !self.new_of.contains_key(at)).collect();
        let free_new: Vec<usize> = (0..new.all.len()).filter(|at| !self.old_of.contains_key(at)).collect();
        for &a in &free_old {
            let mut candidates = free_new.iter().copied().filter(|&b| alike(a, b));
            let (Some(b), None) = (candidates.next(), candidates.next()) else { continue };
            if free_old.iter().filter(|&&other| alike(other, b)).count() == 1 {
                self.link(a, b);
            }
        }
    }

    /// Links a step that is left with the one that stands in its place, if it is of the same kind.
    fn by_place(&mut self, old: &Steps<'_>, new: &Steps<'_>) {
        for a in 0..old.all.len() {
            if self.new_of.contains_key(&a) {
                continue;
            }
            let b = match a.checked_sub(1) {
                Some(before) => self.new_of.get(&before).map(|b| b + 1),
                None => Some(0),
            };
            let Some(b) = b.filter(|&b| b < new.all.len() && !self.old_of.contains_key(&b)) else { continue };
            let next = |at: usize, count: usize| (at + 1 < count).then_some(at + 1);
            let after = next(a, old.all.len()).map(|at| self.new_of.get(&at).copied());
            let fits = match after {
                Some(found) => found == next(b, new.all.len()),
                None => b + 1 == new.all.len(),
            };
            if fits && old.main_key(a) == new.main_key(b) {
                self.link(a, b);
            }
        }
    }

    /// Steps that are in another order: those outside a longest run that kept its order.
    pub(super) fn moved(&self) -> Vec<usize> {
        let pairs: Vec<(usize, usize)> = self.new_of.iter().map(|(&old, &new)| (old, new)).collect();
        let mut best: Vec<(usize, Option<usize>)> = Vec::new();
        for at in 0..pairs.len() {
            let before = (0..at).filter(|&other| pairs[other].1 < pairs[at].1);
            let before = before.max_by_key(|&other| (best[other].0, std::cmp::Reverse(other)));
            best.push((before.map_or(0, |before| best[before].0) + 1, before));
        }
        let mut kept = vec![false; pairs.len()];
        let mut at = (0..pairs.len()).max_by_key(|&at| (best[at].0, std::cmp::Reverse(at)));
        while let Some(here) = at {
            kept[here] = true;
            at = best[here].1;
        }
        (0..pairs.len()).filter(|&at| !kept[at]).map(|at| pairs[at].0).collect()
    }
}
