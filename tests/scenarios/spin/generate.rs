//! Random procedures.

use super::model::{Condition, Kind, Model, Settles, Step, Target, Test, Time};
use oracle::Random;

/// The procedure of a seed.
pub(crate) fn generate(seed: u64) -> Model {
    Generator { random: Random::new(seed), sizes: Vec::new(), hidden: Vec::new(), ids: 0 }.model()
}

struct Generator {
    random: Random,
    /// How many values each condition has.
    sizes: Vec<u8>,
    /// Whether nobody can see each.
    hidden: Vec<bool>,
    ids: usize,
}

/// What encloses a step.
#[derive(Clone, Copy)]
struct Around<'a> {
    names: &'a [usize],
    in_group: bool,
    in_perform: bool,
    depth: usize,
}

impl Generator {
    fn model(mut self) -> Model {
        let count = 2 + self.random.below(3);
        self.sizes = (0..count).map(|_| 2 + self.random.below(2) as u8).collect();
        self.hidden = (0..count).map(|at| at > 0 && self.random.percent(20)).collect();
        // Some procedures are asked for little and break nothing: the clean ones must agree too.
        let calm = self.random.percent(68);
        let conditions: Vec<Condition> = (0..count).map(|at| self.condition(at, calm)).collect();
        let rules = (0..self.random.below(if calm { 2 } else { 4 })).map(|_| self.rule(calm)).collect();
        let work = (0..2).map(|_| self.test(1)).collect();
        let inner_size = 1 + self.random.below(2);
        let top = Around { names: &[], in_group: false, in_perform: false, depth: 0 };
        let inner_steps = self.list(inner_size, calm, Around { in_group: true, in_perform: true, ..top });
        let size = 3 + self.random.below(6);
        let steps = self.list(size, calm, top);
        let mut requires = self.test(3);
        // What is not required is asserted as usual only where it is relied on, which no model says.
        for (at, condition) in conditions.iter().enumerate() {
            if let Some(normal) = condition.normal.filter(|_| !condition.hidden)
                && requires.iter().all(|&(known, _)| known != at)
            {
                requires.push((at, 1 << normal));
            }
        }
        let leaves = if calm { Vec::new() } else { self.test(2) };
        let inner_requires = if calm { Vec::new() } else { self.test(1) };
        Model { conditions, rules, work, requires, leaves, steps, inner_requires, inner_steps }
    }

    fn condition(&mut self, at: usize, calm: bool) -> Condition {
        let (values, hidden) = (self.sizes[at], self.hidden[at]);
        let settles = self.random.percent(if hidden { 85 } else { 30 }).then(|| {
            let from = self.random.below(values.into()) as u8;
            let to = (from + 1 + self.random.below(usize::from(values) - 1) as u8) % values;
            let under = self.random.percent(80).then(|| {
                let none = self.random.percent(40);
                if none { Test::new() } else { self.beside(at, 2) }
            });
            Settles { from, to, after: *self.random.pick(&[6, 10]), under }
        });
        let normal =
            self.random.percent(if calm { 10 } else { 25 }).then(|| self.random.below(values.into()) as u8);
        // What settles under something and is lost by something does not last.
        let under = settles.as_ref().and_then(|settles| settles.under.as_ref());
        let sustained = under.is_some_and(|under| !under.is_empty());
        let causes = self.random.percent(if sustained { 70 } else { 35 });
        let causes = if causes { 1 + self.random.below(2) } else { 0 };
        let mut lost_when: Vec<Test> = (0..causes).map(|_| self.beside(at, 2)).collect();
        lost_when.retain(|cause| !cause.is_empty());
        // Mostly each value has a question, sometimes all but one.
        let one_by_one = !hidden && self.random.percent(60);
        let without = if self.random.percent(15) { 1 << self.random.below(values.into()) } else { 0 };
        let asked = if one_by_one { ((1 << values) - 1) & !without } else { 0 };
        Condition { values, settles, normal, hidden, asked, lost_when }
    }

    /// None to `most` conditions other than this one.
    fn beside(&mut self, at: usize, most: usize) -> Test {
        let mut test = self.some(most);
        test.retain(|&(other, _)| other != at);
        test
    }

    /// One to `most` different conditions that can be seen.
    fn seen(&mut self, most: usize) -> Test {
        loop {
            let mut test = self.some(most);
            test.retain(|&(at, _)| !self.hidden[at]);
            if !test.is_empty() {
                return test;
            }
        }
    }

    fn rule(&mut self, calm: bool) -> Test {
        loop {
            let rule = self.some(3);
            if !calm || rule.len() > 1 {
                return rule;
            }
        }
    }

    /// None to `most` conditions.
    fn test(&mut self, most: usize) -> Test {
        if self.random.percent(35) { Vec::new() } else { self.some(most) }
    }

    /// One to `most` different conditions, each with some but not all of its values.
    fn some(&mut self, most: usize) -> Test {
        let mut test: Test = Vec::new();
        for _ in 0..=self.random.below(most) {
            let at = self.random.below(self.sizes.len());
            let whole = (1u8 << self.sizes[at]) - 1;
            let set = 1 + self.random.below(usize::from(whole) - 1) as u8;
            if test.iter().all(|&(known, _)| known != at) {
                test.push((at, set));
            }
        }
        test
    }

    fn list(&mut self, size: usize, calm: bool, around: Around<'_>) -> Vec<Step> {
        let own: Vec<usize> = (0..size).map(|_| self.id()).collect();
        let steps = (0..size).map(|at| {
            // Mostly forwards; a step back makes a loop.
            let later = if self.random.percent(8) { &own[..] } else { &own[at + 1..] };
            let names: Vec<usize> = later.iter().chain(around.names).copied().collect();
            self.step(own[at], calm, Around { names: &names, ..around })
        });
        steps.collect()
    }

    fn id(&mut self) -> usize {
        self.ids += 1;
        self.ids
    }

    fn target(&mut self, around: Around<'_>) -> Target {
        match around.names {
            names if !names.is_empty() && self.random.percent(70) => Target::Step(*self.random.pick(names)),
            _ if self.random.percent(50) => Target::Done,
            _ => Target::Stop,
        }
    }

    fn step(&mut self, id: usize, calm: bool, around: Around<'_>) -> Step {
        let otherwise = self.target(around);
        let mut kind = self.kind(calm, around);
        let act = matches!(kind, Kind::Do);
        let requires = if self.random.percent(if calm { 3 } else { 22 }) { self.some(2) } else { Vec::new() };
        let leaves = if self.random.percent(if act { 85 } else { 18 }) { self.some(3) } else { Vec::new() };
        let disturbs = if self.random.percent(12) { self.some(2) } else { Vec::new() };
        let disturbs = disturbs.into_iter().map(|(at, _)| at).collect();
        let work = self.random.percent(if calm { 2 } else { 10 }).then(|| self.random.below(2));
        let only = self.random.percent(12).then(|| self.random.below(2) as u8);
        // What a performed procedure does on no machine is not for this step to say.
        let only = only.filter(|_| !matches!(kind, Kind::Perform));
        if let Some(only) = only {
            inside_for(&mut kind, only);
        }
        let then = self.random.percent(10).then(|| self.target(around));
        let then = if matches!(kind, Kind::Ask(_)) { None } else { then };
        Step { id, kind, requires, leaves, disturbs, work, only, then, otherwise }
    }

    /// The first item writes what the second one looks at without leaving the group, and sometimes the third one too.
    fn cross(&mut self, items: &mut [Step], around: Around<'_>) {
        let shows = self.seen(1);
        let ([first, others @ ..], &[(at, set)]) = (&mut *items, &shows[..]) else { return };
        let left = if self.random.percent(70) { set } else { self.others(at, set) };
        first.kind = Kind::Do;
        writes(first, at, left);
        for (number, other) in others.iter_mut().enumerate() {
            if number == 0 || self.random.percent(60) {
                other.then = None;
                other.kind = self.crossing((at, set), around);
            }
        }
        for item in items {
            // What the first kind held was for the variant of its item.
            if let Some(only) = item.only {
                inside_for(&mut item.kind, only);
            }
        }
    }

    /// A look after which the way often goes on in the same item.
    fn crossing(&mut self, (at, set): (usize, u8), around: Around<'_>) -> Kind {
        let shows = vec![(at, set)];
        let retests = 1 + self.random.below(2) as u32;
        match self.random.below(4) {
            0 => Kind::Measure { shows, retests },
            1 => Kind::Repeat { steps: self.list(1, true, around), until: shows, at_most: 1 + retests },
            2 => Kind::Confirm(shows),
            _ => {
                let (look, next) = (self.id(), self.id());
                let names = [next];
                let mut asks = self.step(look, true, Around { names: &names, ..around });
                let to = Target::Step(next);
                asks.kind = match self.random.below(2) {
                    0 => Kind::Confirm(shows),
                    _ => Kind::Ask(vec![(shows, to), (vec![(at, self.others(at, set))], to)]),
                };
                (asks.otherwise, asks.then) = (to, None);
                let step = self.step(next, true, around);
                Kind::Repeat { steps: vec![asks, step], until: self.seen(1), at_most: retests }
            }
        }
    }

    /// The other values of a condition.
    fn others(&self, at: usize, set: u8) -> u8 {
        ((1 << self.sizes[at]) - 1) & !set
    }

    fn kind(&mut self, calm: bool, around: Around<'_>) -> Kind {
        let deeper = Around { depth: around.depth + 1, ..around };
        match self.random.below(if around.depth < 2 { 25 } else { 19 }) {
            5 => Kind::Hold,
            6..=9 => Kind::Confirm(self.seen(2)),
            10 | 11 => {
                let shows = if self.random.percent(35) { Vec::new() } else { self.seen(2) };
                Kind::Measure { shows, retests: self.random.below(3) as u32 }
            }
            12..=14 => Kind::WaitFor(*self.random.pick(&[
                Time::Seconds(4),
                Time::Seconds(6),
                Time::Seconds(10),
                Time::Purge,
            ])),
            15 | 16 => {
                let time = self.random.percent(50).then(|| *self.random.pick(&[4, 6, 10]));
                Kind::WaitUntil { until: self.seen(2), time }
            }
            17 | 18 => {
                let answers = (0..2 + self.random.below(2)).map(|at| {
                    let open = calm && at == 0 || self.random.percent(50);
                    let shows = if open { Vec::new() } else { self.seen(1) };
                    (shows, self.target(around))
                });
                Kind::Ask(answers.collect())
            }
            19 | 20 if !around.in_group => {
                let inside = Around { in_group: true, ..deeper };
                let items = (0..2 + self.random.below(2)).map(|_| {
                    let id = self.id();
                    self.step(id, calm, inside)
                });
                let mut items: Vec<Step> = items.collect();
                if self.random.percent(70) {
                    self.cross(&mut items, inside);
                }
                Kind::AnyOrder(items)
            }
            21 | 22 => {
                let size = 1 + self.random.below(2);
                let steps = self.list(size, calm, deeper);
                Kind::Repeat { steps, until: self.seen(2), at_most: 1 + self.random.below(3) as u32 }
            }
            23 | 24 if !around.in_perform => Kind::Perform,
            _ => Kind::Do,
        }
    }
}

/// The step makes the condition one of some values.
fn writes(step: &mut Step, at: usize, set: u8) {
    step.leaves.retain(|&(left, _)| left != at);
    step.leaves.push((at, set));
}

/// Steps inside one for a variant that are for some variant are for that one: the reader refuses what is done on no machine.
fn inside_for(kind: &mut Kind, only: u8) {
    if let Kind::AnyOrder(steps) | Kind::Repeat { steps, .. } = kind {
        for step in steps {
            step.only = step.only.map(|_| only);
            inside_for(&mut step.kind, only);
        }
    }
}
