//! A made-up procedure as a Promela process: the record is its state, every choice a nondeterministic one.
//!
//! What a look says, which item is next, which variant it is and which part of a record breaks no rule is SPIN's to try. What
//! that does to the record is a function of `record.c`. A move is one write or one tick; a violated precondition or rule is
//! noted, and the run goes on in the part that satisfies it.

use super::events::{Events, Place};
use super::model::{Model, PURGE, Step, TIPS, Target, Test, Time, all};
use std::collections::BTreeMap;

/// Counters that repeats inside each other can have.
pub(crate) const ROUNDS: usize = 4;

const START: usize = 0;
const DONE: usize = 1;
const STOP: usize = 2;

/// Where control goes next.
#[derive(Clone, Copy)]
pub(crate) struct Goto {
    pub(crate) place: usize,
    /// The item of a group that is thereby done.
    pub(crate) item: Option<usize>,
}

/// What follows the last write.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum End {
    /// It was an act: one of the rules found broken has to be ended. Whether it is told that all of it is so already.
    Act { told_idle: bool },
    /// It was what a look or something else leaves.
    Left,
}

/// A condition, its values, and whether it is disturbed.
pub(crate) type Write = (usize, u8, bool);

#[derive(Clone)]
pub(crate) struct Scope {
    pub(crate) path: String,
    pub(crate) rounds: Vec<u32>,
    pub(crate) block: Option<usize>,
    pub(crate) labels: BTreeMap<usize, usize>,
    pub(crate) done: Goto,
}

pub(crate) struct Writer<'a> {
    pub(crate) name: &'a str,
    pub(crate) model: &'a Model,
    pub(crate) events: &'a mut Events,
    pub(crate) places: Vec<Place>,
    pub(crate) texts: Vec<String>,
    /// For each group what is the own of each item, a bit each.
    pub(crate) owns: Vec<Vec<u8>>,
}

/// The process of one procedure; its rig is `name` with an `r`.
pub(crate) fn process(name: &str, model: &Model, events: &mut Events) -> String {
    let rig = format!("r{name}");
    let mut writer =
        Writer { name: &rig, model, events, places: Vec::new(), texts: Vec::new(), owns: Vec::new() };
    let done = Goto::to(DONE);
    let scope = Scope { path: String::new(), rounds: Vec::new(), block: None, labels: BTreeMap::new(), done };
    for end in ["start", "done", "stop"] {
        writer.alloc(end.to_owned(), "body", &scope);
    }
    let entry = writer.list(&model.steps, &scope, done, &Test::new());
    writer.start(entry.place);
    writer.ends();
    writer.frame(name)
}

impl Goto {
    pub(crate) fn to(place: usize) -> Self {
        Self { place, item: None }
    }
}

impl Writer<'_> {
    pub(crate) fn alloc(&mut self, path: String, phase: &str, scope: &Scope) -> usize {
        let (phase, rounds) = (phase.to_owned(), scope.rounds.clone());
        self.places.push(Place { path, phase, rounds, ends_round: false, block: scope.block });
        self.texts.push(String::new());
        self.places.len() - 1
    }

    pub(crate) fn sibling(&mut self, of: usize, phase: &str) -> usize {
        self.places.push(Place { phase: phase.to_owned(), ..self.places[of].clone() });
        self.texts.push(String::new());
        self.places.len() - 1
    }

    /// Every variant; what is required holds, nothing else is known.
    fn start(&mut self, entry: usize) {
        let name = self.name;
        let (mut text, mut unseen) = (String::new(), Test::new());
        for (at, condition) in self.model.conditions.iter().enumerate() {
            let stated = self.model.requires.iter().find(|(var, _)| *var == at);
            unseen.extend(stated.filter(|_| condition.hidden));
            let set = stated.filter(|_| !condition.hidden).map_or(all(condition), |(_, set)| *set);
            text += &format!("now.f[{at}] = {set}; ");
        }
        let rules = self.rule_events(START);
        let needs = self.needs(START, &unseen);
        self.texts[START] = format!(
            "if :: tip = 0 :: tip = 1 fi; c_code {{ {text} now.q = start(&{name}, {rules}); }}; \
             if :: q -> goto X :: else fi; {needs} nx = {entry}; goto Y;"
        );
    }

    fn ends(&mut self) {
        self.arrive(STOP, "goto X;");
        let finishes: Vec<_> = TIPS.iter().map(|tip| move |_: &str| format!("finishes {tip}")).collect();
        let finishes = self.events.several(&self.places[DONE], &finishes);
        let unmended = self.unmended(DONE);
        let mut text = format!("c_code {{ seen[{finishes} + now.tip] = 1; other({unmended}); }}; ");
        for &(at, set) in &self.model.leaves {
            let event = self.events.one(&self.places[DONE], |_| format!("promise c{at}"));
            text += &format!("c_code {{ need({at}, {set}, {event}); }}; ");
        }
        for (at, condition) in self.model.conditions.iter().enumerate() {
            let promised = self.model.leaves.iter().any(|(var, _)| *var == at);
            if let Some(normal) = condition.normal.filter(|_| !promised) {
                let event = self.events.one(&self.places[DONE], |_| format!("promise c{at}"));
                text +=
                    &format!("c_code {{ if (now.wr >> {at} & 1) need({at}, {}, {event}); }}; ", 1 << normal);
            }
        }
        self.arrive(DONE, &format!("{text} goto X;"));
    }

    pub(crate) fn list(&mut self, steps: &[Step], scope: &Scope, next: Goto, around: &Test) -> Goto {
        let mut scope = scope.clone();
        let first: Vec<usize> = steps.iter().map(|step| self.first(step, &scope)).collect();
        scope.labels.extend(steps.iter().map(|step| step.id).zip(first.iter().copied()));
        for (at, step) in steps.iter().enumerate() {
            let after = first.get(at + 1).map_or(next, |&place| Goto::to(place));
            // Each round needs, before its first step, what the repeat needs.
            let none = Test::new();
            let before = if at == 0 { around } else { &none };
            self.step(step, first[at], &scope, after, [before, &none]);
        }
        Goto::to(first[0])
    }

    pub(crate) fn first(&mut self, step: &Step, scope: &Scope) -> usize {
        let path = if scope.path.is_empty() {
            format!("s{}", step.id)
        } else {
            format!("{}/s{}", scope.path, step.id)
        };
        self.alloc(path, if step.only.is_some() { "only" } else { "body" }, scope)
    }

    pub(crate) fn target(&self, target: Target, scope: &Scope) -> Goto {
        match target {
            Target::Done => scope.done,
            Target::Stop => Goto::to(STOP),
            Target::Step(id) => Goto::to(scope.labels[&id]),
        }
    }

    /// Leaves a place: counters and finished items that the next place does not know are cleared.
    fn go(&self, from: usize, to: Goto) -> String {
        let (before, after) = (&self.places[from], &self.places[to.place]);
        let mut text = String::new();
        match to.item {
            Some(item) => text += &format!("m = m | {}; ", 1 << item),
            None if before.block.is_some() && before.block != after.block => text += "m = 0; ag = 0; ",
            None => {}
        }
        for round in after.rounds.len()..before.rounds.len() {
            text += &format!("r[{round}] = 0; ");
        }
        format!("{text}nx = {}; ", to.place)
    }

    /// Leaves a place without an effect.
    pub(crate) fn pass(&self, from: usize, to: Goto) -> String {
        format!("{}goto Y;", self.go(from, to))
    }

    /// Leaves a place with writes, each a move of its own. `begun` is the place at which the step began, which is to blame; the
    /// places between are told where a person stands there.
    pub(crate) fn writes(&mut self, at: [usize; 2], writes: &[Write], end: End, to: Goto) -> String {
        let [from, begun] = at;
        let Some((&(var, set, opens), rest)) = writes.split_first() else {
            return match end {
                End::Left => self.pass(from, to),
                End::Act { .. } => format!("ov = 1; {} {} goto B;", self.blame(begun), self.go(from, to)),
            };
        };
        let rules = self.rule_events(begun);
        let write =
            format!("c_code {{ act(&{}, {var}, {set}, {}, {rules}); }}; ", self.name, u8::from(opens));
        if rest.is_empty() {
            let over = match end {
                End::Act { .. } => format!("ov = 1; {}", self.blame(begun)),
                End::Left => "ov = 2; ".to_owned(),
            };
            return format!("{write}{over}{}goto A;", self.go(from, to));
        }
        let written =
            1 + self.places[from].phase.strip_prefix("in act ").map_or(0, |n| n.parse().unwrap_or(0));
        let next = self.sibling(from, &format!("in act {written}"));
        let text = self.writes([next, begun], rest, end, to);
        match end {
            End::Act { told_idle } => {
                let busy = if told_idle { self.busy(begun, rest) } else { String::new() };
                self.arrive(next, &format!("{busy}{text}"));
            }
            End::Left => self.texts[next] = text,
        }
        format!("{write}{}goto A;", self.go(from, Goto::to(next)))
    }

    /// Notes that what an act is about to set is not recorded so already.
    pub(crate) fn busy(&mut self, begun: usize, writes: &[Write]) -> String {
        let Some(&(var, set, _)) = writes.first() else { return String::new() };
        let event = self.events.one(&self.places[begun], |key| format!("busy {key}"));
        format!("c_code {{ if (now.f[{var}] != {set}) seen[{event}] = 1; }}; ")
    }

    /// The number of the first of the events that a rule is broken by leaving the place, in C.
    fn rule_events(&mut self, begun: usize) -> String {
        let rules = self.model.rules.len();
        let place = &self.places[begun];
        let by = |key: &str| if begun == START { "start".to_owned() } else { key.to_owned() };
        let named = |rule: usize| move |key: &str| format!("rule r{rule} by {}", by(key));
        let base = self.events.several(place, &(0..rules).map(named).collect::<Vec<_>>());
        format!("{base} + ({})*{rules}", place.index())
    }

    /// The number of the event that something else is done at the place than ending what was found broken, in C.
    pub(crate) fn unmended(&mut self, begun: usize) -> String {
        self.events.one(&self.places[begun], |key| format!("unmended {key}"))
    }

    fn blame(&mut self, begun: usize) -> String {
        let event = self.unmended(begun);
        format!("c_code {{ now.um = {event}; }}; ")
    }

    /// Notes that a place is reached.
    pub(crate) fn arrive(&mut self, place: usize, then: &str) {
        let event = self.events.one(&self.places[place], |key| format!("reached {key}"));
        self.texts[place] = format!("c_code {{ seen[{event}] = 1; }}; {then}");
    }

    /// Notes each precondition that is not surely met; the run goes on where all are.
    pub(crate) fn needs(&mut self, place: usize, needs: &Test) -> String {
        if needs.is_empty() {
            return String::new();
        }
        let mut text = String::new();
        for (at, set) in needs {
            let event = self.events.one(&self.places[place], |key| {
                format!("need {} c{at} {set}", if place == START { "start" } else { key })
            });
            text += &format!("need({at}, {set}, {event}); ");
        }
        for (at, set) in needs {
            text += &format!("now.f[{at}] &= {set}; ");
        }
        let name = self.name;
        format!("c_code {{ {text} now.q = empty(&{name}); keep(&{name}); }}; if :: q -> goto X :: else fi; ")
    }

    /// What a wait does to the record.
    pub(crate) fn time(&self, time: Time) -> String {
        let name = self.name;
        match time {
            Time::Seconds(time) => format!("pass(&{name}, {time}); "),
            Time::Purge => format!("pass(&{name}, now.tip == 0 ? {} : {}); ", PURGE[0], PURGE[1]),
        }
    }

    /// The process around its places: one atomic move a place, after which the state is kept.
    fn frame(&self, process: &str) -> String {
        let name = self.name;
        let mut text = format!("proctype {process}() {{\nZ: true;\natomic {{\n  if\n");
        for at in 0..self.texts.len() {
            text += &format!("  :: nx == {at} -> goto L{at}\n");
        }
        text += "  fi;\n";
        for (at, place) in self.texts.iter().enumerate() {
            text += &format!("L{at}: {place}\n");
        }
        text += "A: if :: bk == 0 -> goto B :: else fi;\n";
        for (at, rule) in self.model.rules.iter().enumerate() {
            text += &format!(
                "  if :: !(bk & {0}) :: (bk & {0}) -> c_code {{ now.q = parts(&{name}, {at}); }}; if ",
                1 << at
            );
            for part in 0..rule.len() {
                text += &format!(":: (q & {}) -> c_code {{ cut(&{name}, {at}, {part}); }} ", 1 << part);
            }
            text += ":: else -> goto X fi fi;\n";
        }
        text += &format!(
            "  c_code {{ keep(&{name}); }};\nB: if :: ov == 1 -> c_code {{ over(&{name}, now.um); }} \
             :: ov == 2 -> c_code {{ note(&{name}, 0); }} :: else fi;\nY: ov = 0; um = 0; bk = 0; q = 0;\n  goto Z;\n\
             X: nx = 0; ov = 0; um = 0; bk = 0; q = 0; m = 0; ag = 0; tip = 0; o = 0; lo = 0; fd = 0; wr = 0;\n  "
        );
        for at in 0..ROUNDS {
            text += &format!("f[{at}] = 0; t[{at}] = 0; r[{at}] = 0; ");
        }
        text + "\n}\n}\n"
    }
}
