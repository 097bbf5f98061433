//! Which step of the new revision is which step of the old one.
//!
//! Equal content finds a step wherever it went and whatever it is called; then the name; then the place between two
//! steps that were found.

use document::model::{Answer, Kind, Name, Procedure, Repeat, Step, Target};
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

    fn id(&self, at: usize) -> &'a Name {
        &self.all[at].1.common.id
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
    let kind = match &step.kind {
        Kind::AnyOrder(_) => Kind::AnyOrder(Vec::new()),
        Kind::Repeat(Repeat { until, at_most, steps: _ }) => {
            Kind::Repeat(Repeat { until: until.clone(), at_most: *at_most, steps: Vec::new() })
        }
        Kind::Ask(question) => {
            let mut question = question.clone();
            for answer in question.answers.values_mut() {
                match answer {
                    Answer::Goes(target) => *target = nowhere(),
                    Answer::Shows(outcome) => outcome.then = nowhere(),
                }
            }
            Kind::Ask(question)
        }
        Kind::Do(_)
        | Kind::Action(_)
        | Kind::Confirm(_)
        | Kind::Measure(_)
        | Kind::Wait(_)
        | Kind::Hold(_)
        | Kind::Fasten(_)
        | Kind::Perform(_) => step.kind.clone(),
    };
    let mut common = step.common.clone();
    common.id = Name::from("");
    common.then = None;
    common.otherwise = None;
    format!("{:?}", Step { common, kind })
}

/// Pairs of steps, by their numbers in both revisions.
pub(super) struct Matching {
    pub(super) new_of: BTreeMap<usize, usize>,
    pub(super) old_of: BTreeMap<usize, usize>,
}

impl Matching {
    pub(super) fn between(old: &Steps<'_>, new: &Steps<'_>) -> Self {
        let mut matching = Self { new_of: BTreeMap::new(), old_of: BTreeMap::new() };
        let said: BTreeMap<&str, usize> =
            old.contents.iter().chain(&new.contents).map(String::as_str).zip(0..).collect();
        let said = |steps: &Steps<'_>, at: usize| said[steps.contents[at].as_str()];
        matching.pair(old, new, |steps, at| (steps.id(at), said(steps, at)));
        matching.pair(old, new, said);
        matching.pair(old, new, Steps::id);
        matching.by_place(old, new);
        matching
    }

    fn link(&mut self, old: usize, new: usize) {
        self.new_of.insert(old, new);
        self.old_of.insert(new, old);
    }

    /// Links steps that are alike where no other is: what is alike twice says nothing.
    fn pair<'a, T: Ord>(&mut self, old: &Steps<'a>, new: &Steps<'a>, key: impl Fn(&Steps<'a>, usize) -> T) {
        let alike = |steps: &Steps<'a>, is_linked: &dyn Fn(usize) -> bool| {
            let mut alike: BTreeMap<T, Option<usize>> = BTreeMap::new();
            for at in (0..steps.all.len()).filter(|&at| !is_linked(at)) {
                alike.entry(key(steps, at)).and_modify(|one| *one = None).or_insert(Some(at));
            }
            alike
        };
        let from = alike(old, &|at| self.new_of.contains_key(&at));
        let to = alike(new, &|at| self.old_of.contains_key(&at));
        for (key, at) in from {
            if let (Some(a), Some(&Some(b))) = (at, to.get(&key)) {
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
        // Those that end a run of each length, the first first: the later one is, the earlier it now stands.
        let mut ends: Vec<Vec<usize>> = Vec::new();
        // The first that can stand before each in a longest run to it.
        let mut before: Vec<Option<usize>> = Vec::new();
        for (at, &(_, new)) in pairs.iter().enumerate() {
            let is_before = |ends: &Vec<usize>| ends.last().is_some_and(|&end| pairs[end].1 < new);
            let length = ends.partition_point(is_before);
            let shorter = length.checked_sub(1).map(|length| &ends[length]);
            before.push(shorter.map(|shorter| shorter[shorter.partition_point(|&end| pairs[end].1 > new)]));
            if length == ends.len() {
                ends.push(Vec::new());
            }
            ends[length].push(at);
        }
        let mut kept = vec![false; pairs.len()];
        let mut at = ends.last().and_then(|ends| ends.first()).copied();
        while let Some(here) = at {
            kept[here] = true;
            at = before[here];
        }
        (0..pairs.len()).filter(|&at| !kept[at]).map(|at| pairs[at].0).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::Matching;

    /// All orders of so many.
    fn orders(count: usize) -> Vec<Vec<usize>> {
        let Some(last) = count.checked_sub(1) else { return vec![Vec::new()] };
        let put = |order: &Vec<usize>, at: usize| [&order[..at], &[last], &order[at..]].concat();
        orders(last).iter().flat_map(|order| (0..count).map(move |at| put(order, at))).collect()
    }

    /// Of the longest runs that kept their order the one that ends first stays, and so for each step before its end.
    fn kept(order: &[usize]) -> Vec<usize> {
        let mut longest: Vec<Vec<usize>> = Vec::new();
        for at in 0..order.len() {
            let mut best: Vec<usize> = Vec::new();
            for before in (0..at).filter(|&before| order[before] < order[at]) {
                if longest[before].len() > best.len() {
                    best.clone_from(&longest[before]);
                }
            }
            best.push(at);
            longest.push(best);
        }
        let most = longest.iter().map(Vec::len).max().unwrap_or(0);
        longest.into_iter().find(|run| run.len() == most).unwrap_or_default()
    }

    #[test]
    fn what_moved_is_what_stands_outside_a_longest_run() {
        for count in 0..=7 {
            for order in orders(count) {
                let new_of = order.iter().copied().enumerate().collect();
                let matching = Matching { new_of, old_of: order.iter().copied().zip(0..).collect() };
                let kept = kept(&order);
                let moved: Vec<usize> = (0..count).filter(|at| !kept.contains(at)).collect();
                assert_eq!(matching.moved(), moved, "{order:?}");
            }
        }
    }
}
