//! A made-up procedure as a Promela process: one concrete value a condition, every choice a nondeterministic one.
//!
//! A violated precondition or rule is noted and ends the run: the others go on in the part that satisfies it. A settling
//! value may fall whenever a place is reached, before its preconditions are looked at, after them and after every effect,
//! and has fallen once the waits since it was last set add up to its time. An outcome is one instant: its test, its
//! effects and the loss of evidence.

use super::events::{Events, Place};
use super::model::{Kind, Model, Step, TIPS, Target, Test, all, values};
use super::statements::{Needs, World};
use std::collections::BTreeMap;

/// Counters that repeats inside each other can have.
pub(crate) const ROUNDS: usize = 4;

const DONE: usize = 1;
const STOP: usize = 2;

/// Where control goes next.
#[derive(Clone, Copy)]
struct Goto {
    place: usize,
    /// The item of a group that is thereby done.
    item: Option<usize>,
}

#[derive(Clone)]
struct Scope {
    path: String,
    rounds: Vec<u32>,
    block: Option<usize>,
    labels: BTreeMap<usize, usize>,
    done: Goto,
}

struct Writer<'a> {
    model: &'a Model,
    world: World<'a>,
    events: &'a mut Events,
    places: Vec<Place>,
    texts: Vec<String>,
    blocks: usize,
}

/// The process of one procedure.
pub(crate) fn process(name: &str, model: &Model, events: &mut Events) -> String {
    let world = World { model };
    let mut writer = Writer { model, world, events, places: Vec::new(), texts: Vec::new(), blocks: 0 };
    let done = Goto { place: DONE, item: None };
    let scope = Scope { path: String::new(), rounds: Vec::new(), block: None, labels: BTreeMap::new(), done };
    for end in ["start", "done", "stop"] {
        writer.alloc(end.to_owned(), "body", &scope);
    }
    let entry = writer.list(&model.steps, &scope, done);
    writer.start(entry.place);
    writer.ends();
    writer.world.frame(name, &writer.texts)
}

impl Writer<'_> {
    fn alloc(&mut self, path: String, phase: &'static str, scope: &Scope) -> usize {
        self.places.push(Place { path, phase, rounds: scope.rounds.clone(), block: scope.block });
        self.texts.push(String::new());
        self.places.len() - 1
    }

    fn sibling(&mut self, of: usize, phase: &'static str) -> usize {
        self.places.push(Place { phase, ..self.places[of].clone() });
        self.texts.push(String::new());
        self.places.len() - 1
    }

    fn start(&mut self, entry: usize) {
        let mut text = String::from("if :: tip = 0 :: tip = 1 fi; ");
        for (at, condition) in self.model.conditions.iter().enumerate() {
            let stated = self.model.requires.iter().find(|(var, _)| *var == at).map(|(_, set)| *set);
            let set = stated.or(condition.normal.map(|value| 1 << value)).unwrap_or(all(condition));
            text += &self.world.choose(at, set);
        }
        let blame = self.blame(0, "start");
        self.texts[0] = format!("{text} w = 255; {blame} nx = {entry}; goto B;");
    }

    fn ends(&mut self) {
        self.texts[STOP] =
            format!("{} goto X;", self.events.note(&self.places[STOP], |_| "reached stop".into()));
        let mut text = self.events.note(&self.places[DONE], |_| "reached done".into());
        let finishes: Vec<_> = TIPS.iter().map(|tip| move |_: &str| format!("finishes {tip}")).collect();
        let finishes = self.events.several(&self.places[DONE], &finishes);
        text += &format!("c_code {{ seen[{finishes} + now.tip] = 1; }};");
        let mut promises: Test = self.model.leaves.clone();
        for (at, condition) in self.model.conditions.iter().enumerate() {
            if let (Some(normal), false) = (condition.normal, promises.iter().any(|(var, _)| *var == at)) {
                promises.push((at, 1 << normal));
            }
        }
        for promise in promises {
            let kept = self.world.holds(&vec![promise]);
            let note = self.events.note(&self.places[DONE], |_| format!("promise c{}", promise.0));
            text += &format!("if :: !({kept}) -> {note} :: else fi; ");
        }
        self.texts[DONE] = format!("{text} goto X;");
    }

    /// A statement that keeps in mind which place is to blame for a rule broken next.
    fn blame(&mut self, place: usize, key: &str) -> String {
        let rules = self.model.rules.len();
        let place = &self.places[place];
        let named = |rule: usize| {
            move |at: &str| format!("rule r{rule} by {}", if key == "start" { key } else { at })
        };
        let base = self.events.several(place, &(0..rules).map(named).collect::<Vec<_>>());
        format!("by = {base} + ({})*{rules};", place.index(""))
    }

    fn list(&mut self, steps: &[Step], scope: &Scope, next: Goto) -> Goto {
        let mut scope = scope.clone();
        let first: Vec<usize> = steps.iter().map(|step| self.first(step, &scope)).collect();
        scope.labels.extend(steps.iter().map(|step| step.id).zip(first.iter().copied()));
        for (at, step) in steps.iter().enumerate() {
            let after = first.get(at + 1).map_or(next, |&place| Goto { place, item: None });
            self.step(step, first[at], &scope, after);
        }
        Goto { place: first[0], item: None }
    }

    fn first(&mut self, step: &Step, scope: &Scope) -> usize {
        let path = if scope.path.is_empty() {
            format!("s{}", step.id)
        } else {
            format!("{}/s{}", scope.path, step.id)
        };
        self.alloc(path, if step.only.is_some() { "only" } else { "body" }, scope)
    }

    fn target(&self, target: Target, scope: &Scope) -> Goto {
        match target {
            Target::Done => scope.done,
            Target::Stop => Goto { place: STOP, item: None },
            Target::Step(id) => Goto { place: scope.labels[&id], item: None },
        }
    }

    /// Leaves a place: counters and finished items that the next place does not know are cleared.
    fn go(&self, from: usize, to: Goto) -> String {
        let (before, after) = (&self.places[from], &self.places[to.place]);
        let mut text = String::new();
        match to.item {
            Some(item) => text += &format!("m = m | {}; ", 1 << item),
            None if before.block.is_some() && before.block != after.block => text += "m = 0; ",
            None => {}
        }
        for round in after.rounds.len()..before.rounds.len() {
            text += &format!("r{round} = 0; ");
        }
        format!("{text}nx = {}; ", to.place)
    }

    /// Leaves a place without an effect.
    fn pass(&self, from: usize, to: Goto) -> String {
        format!("{}goto Y;", self.go(from, to))
    }

    /// Leaves a place with effects: each condition written may then have any value of its set.
    fn act(&mut self, from: usize, effects: &Test, fresh: &Test, to: Goto) -> String {
        let written = effects.iter().chain(fresh).fold(0, |mask, (at, _)| mask | 1 << at);
        if written == 0 {
            return self.pass(from, to);
        }
        let chosen: String = effects.iter().map(|&(at, set)| self.world.choose(at, set)).collect();
        let blame = self.blame(from, "");
        format!("{chosen}w = {written}; {blame} {}goto A;", self.go(from, to))
    }

    fn step(&mut self, step: &Step, first: usize, scope: &Scope, after: Goto) {
        let then = step.then.map_or(after, |target| self.target(target, scope));
        let mut body = first;
        self.arrive(first, String::new());
        if let Some(tip) = step.only {
            body = self.sibling(first, "body");
            let inside = self.pass(first, Goto { place: body, item: None });
            let outside = self.pass(first, after);
            self.texts[first] += &format!("if :: tip == {tip} -> {inside} :: else -> {outside} fi;");
            self.arrive(body, String::new());
        }
        let effects = self.world.effects(step);
        let busy = self.busy(step, body, &effects);
        self.texts[body] += &busy;
        let needs = self.needs(step, body);
        self.texts[body] += &needs;
        let otherwise = if step.can_fail() { Some(self.target(step.otherwise, scope)) } else { None };
        let disturbed = self.world.disturbed(step);
        let text = match &step.kind {
            Kind::Do | Kind::Hold => self.act(body, &effects, &Vec::new(), then),
            Kind::Confirm(test) => {
                let pass = self.act(body, &effects, &Vec::new(), then);
                let fail = self.act(body, &disturbed, &Vec::new(), otherwise.unwrap_or(then));
                format!("if :: {} -> {pass} :: else -> {fail} fi;", self.world.holds(test))
            }
            Kind::Ask(answers) => self.question(answers, body, &effects, scope),
            Kind::Measure { shows, retests } => {
                return self.readings(step, shows, *retests, body, then, otherwise.unwrap_or(then));
            }
            Kind::WaitFor(time) => self.world.wait(*time) + &self.act(body, &effects, &Vec::new(), then),
            Kind::WaitUntil { until, time } => {
                let waited =
                    time.map_or_else(String::new, |time| self.world.wait(super::model::Time::Seconds(time)));
                let fresh = self.world.afresh(until);
                let pass = self.act(body, &effects, until, then);
                let fail = self.act(body, &disturbed, until, otherwise.unwrap_or(then));
                format!("{waited}{fresh}if :: {} -> {pass} :: else -> {fail} fi;", self.world.holds(until))
            }
            Kind::AnyOrder(items) => self.group(items, body, &effects, scope, then),
            Kind::Repeat { steps, until, at_most } => {
                let otherwise = otherwise.unwrap_or(then);
                let round = self.repeat(step, (steps, until, *at_most), body, scope, then, otherwise);
                format!("r{} = 1; {}", scope.rounds.len(), self.pass(body, round))
            }
            Kind::Perform => {
                let last = if effects.is_empty() {
                    then
                } else {
                    let last = self.sibling(body, "last");
                    let act = self.act(last, &effects, &Vec::new(), then);
                    self.arrive(last, act);
                    Goto { place: last, item: None }
                };
                let path = self.places[body].path.clone();
                let inner = Scope { path, labels: BTreeMap::new(), done: last, ..scope.clone() };
                let entry = self.list(&self.model.inner_steps, &inner, last);
                self.pass(body, entry)
            }
        };
        self.texts[body] += &text;
    }

    /// Notes that a place is reached.
    fn arrive(&mut self, place: usize, then: String) {
        let note = self.events.note(&self.places[place], |key| format!("reached {key}"));
        self.texts[place] = format!("{note} {then}");
    }

    /// Notes each precondition that fails, and ends the run if one does.
    fn needs(&mut self, step: &Step, place: usize) -> String {
        let mut needs: Needs = step.requires.iter().map(|&need| ("step", need)).collect();
        let work = step.work.map_or(&[][..], |work| &self.model.work[work]);
        needs.extend(work.iter().map(|&need| ("work", need)));
        if matches!(step.kind, Kind::Perform) {
            needs.extend(self.model.inner_requires.iter().map(|&need| ("procedure", need)));
        }
        if needs.is_empty() {
            return String::new();
        }
        let whole: Test = needs.iter().map(|(_, need)| *need).collect();
        let mut text = format!("if :: {} -> skip :: else -> ", self.world.holds(&whole));
        for (source, need) in &needs {
            let (at, set) = *need;
            let note =
                self.events.note(&self.places[place], |key| format!("need {key} {source} c{at} {set}"));
            text += &format!("if :: !({}) -> {note} :: else fi; ", self.world.holds(&vec![*need]));
        }
        text += "goto X fi; ";
        text + &self.world.fall(|at| whole.iter().any(|(var, _)| *var == at))
    }

    /// Notes that what an act sets is not so already, if its effects are single values.
    fn busy(&mut self, step: &Step, place: usize, effects: &Test) -> String {
        if !matches!(step.kind, Kind::Do)
            || effects.is_empty()
            || effects.iter().any(|(_, set)| set.count_ones() > 1)
        {
            return String::new();
        }
        let note = self.events.note(&self.places[place], |key| format!("busy {key}"));
        format!("if :: !({}) -> {note} :: else fi; ", self.world.holds(effects))
    }

    fn question(
        &mut self,
        answers: &[(Test, Target)],
        place: usize,
        effects: &Test,
        scope: &Scope,
    ) -> String {
        let mut text = String::from("if ");
        for (shows, target) in answers {
            let act = self.act(place, effects, &Vec::new(), self.target(*target, scope));
            text += &format!(":: {} -> {act} ", self.world.holds(shows));
        }
        let note = self.events.note(&self.places[place], |key| format!("unanswered {key}"));
        match answers.iter().any(|(shows, _)| shows.is_empty()) {
            true => text + "fi;",
            false => format!("{text} :: else -> {note} goto X fi;"),
        }
    }

    fn readings(
        &mut self,
        step: &Step,
        shows: &Test,
        retests: u32,
        first: usize,
        then: Goto,
        otherwise: Goto,
    ) {
        const ATTEMPTS: [&str; 3] = ["body", "attempt 2", "attempt 3"];
        let effects = self.world.effects(step);
        let disturbed = self.world.disturbed(step);
        let mut place = first;
        for attempt in 0..=retests as usize {
            let again = if attempt == retests as usize {
                otherwise
            } else {
                let again = self.sibling(first, ATTEMPTS[attempt + 1]);
                self.arrive(again, String::new());
                Goto { place: again, item: None }
            };
            let pass = self.act(place, &effects, shows, then);
            let fail = self.act(place, &disturbed, shows, again);
            let other = if shows.is_empty() { "true" } else { "else" };
            let fresh = self.world.afresh(shows);
            let text = format!("{fresh}if :: {} -> {pass} :: {other} -> {fail} fi;", self.world.holds(shows));
            self.texts[place] += &text;
            place = again.place;
        }
    }

    fn group(&mut self, items: &[Step], place: usize, effects: &Test, scope: &Scope, then: Goto) -> String {
        let choose = self.sibling(place, "choose");
        let block = Some(self.blocks);
        self.blocks += 1;
        self.places[choose].block = block;
        let inner = Scope { block, path: self.places[place].path.clone(), ..scope.clone() };
        let mut text = String::from("if ");
        for (at, item) in items.iter().enumerate() {
            let entry = self.first(item, &inner);
            self.step(item, entry, &inner, Goto { place: choose, item: Some(at) });
            text += &format!(
                ":: !(m & {}) -> {} ",
                1 << at,
                self.pass(choose, Goto { place: entry, item: None })
            );
        }
        let act = self.act(choose, effects, &Vec::new(), then);
        self.arrive(choose, format!("{text}:: m == {} -> {act} fi;", (1 << items.len()) - 1));
        self.pass(place, Goto { place: choose, item: None })
    }

    fn repeat(
        &mut self,
        step: &Step,
        (steps, until, at_most): (&[Step], &Test, u32),
        place: usize,
        scope: &Scope,
        then: Goto,
        otherwise: Goto,
    ) -> Goto {
        let question = self.sibling(place, "until");
        self.places[question].rounds.push(at_most);
        let rounds = self.places[question].rounds.clone();
        let inner = Scope { rounds, path: self.places[place].path.clone(), ..scope.clone() };
        let entry = self.list(steps, &inner, Goto { place: question, item: None });
        let counter = format!("r{}", scope.rounds.len());
        let (effects, disturbed) = (self.world.effects(step), self.world.disturbed(step));
        let pass = self.act(question, &effects, &Vec::new(), then);
        let again = self.pass(question, entry);
        let fail = self.act(question, &disturbed, &Vec::new(), otherwise);
        self.arrive(
            question,
            format!(
                "if :: {} -> {pass} :: else -> if :: {counter} < {at_most} -> {counter} = {counter} + 1; {again} \
                 :: else -> {fail} fi fi;",
                self.world.holds(until)
            ),
        );
        entry
    }
}

/// All values that a test lets through, in Promela's words.
pub(crate) fn alternatives(at: usize, set: u8) -> String {
    values(set).map(|value| format!("c{at} == {value}")).collect::<Vec<_>>().join(" || ")
}
