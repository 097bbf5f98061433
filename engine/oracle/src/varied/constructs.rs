//! Which constructs documents have: every key that decides what is proved, in the forms that differ in meaning.

use super::crossed::crossed;
use document::Library;
use document::model::{
    Action, Answer, Ask, Common, Condition, Cube, Equipment, Kind, Name, SeenBy, Step, Work,
};
use std::collections::{BTreeMap, BTreeSet};

/// Every construct that there is.
pub const CONSTRUCTS: [&str; 86] = [
    "do",
    "action",
    "fasten",
    "confirm 1",
    "confirm 2",
    "confirm 3",
    "ask plain",
    "ask shows",
    "ask shows several values",
    "ask shows several conditions",
    "ask all show",
    "measure plain",
    "measure shows 1",
    "measure shows 2",
    "retests",
    "wait",
    "wait by variant",
    "wait until 1",
    "wait until 2",
    "wait until and for",
    "hold",
    "any order",
    "repeat",
    "repeat until 2",
    "several rounds",
    "repeat requires",
    "repeat work",
    "block requires",
    "perform",
    "stop in performed",
    "then",
    "otherwise step",
    "otherwise stop",
    "otherwise done",
    "only",
    "requires",
    "leaves 1",
    "leaves 2",
    "look leaves",
    "disturbs",
    "look disturbs",
    "leaves and disturbs",
    "work",
    "verified act",
    "verified look",
    "verified other",
    "settles while",
    "settles while none",
    "settles alone",
    "hidden",
    "seen by measure",
    "seen when",
    "keeps",
    "lost by map",
    "lost by list",
    "lost and settles",
    "fed seen",
    "fed hidden",
    "fed asserted",
    "fed looked at",
    "fed measured",
    "fed written",
    "lost by what falls",
    "lost by what is fed",
    "what a fall ends written",
    "normal",
    "lapses",
    "restores",
    "restores several",
    "restores and disturbs",
    "work requires",
    "rule",
    "rule of several",
    "left state",
    "asked by value",
    "asked on",
    "asked on until",
    "asked on in a round",
    "crossed tick",
    "crossed wait until",
    "crossed reading",
    "crossed retest",
    "crossed round",
    "crossed answer",
    "crossed in performed",
    "crossed twice at once",
];

/// The constructs of these documents.
#[must_use]
pub fn constructs(library: &Library) -> BTreeSet<&'static str> {
    let mut has = Has {
        found: crossed(library),
        fed: BTreeSet::new(),
        ended_by_fall: BTreeSet::new(),
        questions: BTreeMap::new(),
    };
    for document in library.equipment.values() {
        let equipment = &document.model;
        equipment.conditions.values().for_each(|condition| has.condition(condition));
        has.lasting(equipment);
        has.questions(equipment);
        equipment.actions.values().for_each(|action| has.act(action));
        equipment.work.values().for_each(|work| has.of_work(work));
        has.note("rule", !equipment.never.is_empty());
        has.note("rule of several", equipment.never.values().any(|rule| rule.when.len() > 1));
        has.note("left state", equipment.safe_state.is_some());
    }
    for (name, document) in &library.procedures {
        has.note(
            "fed asserted",
            **name == *"main" && document.model.requires.keys().any(|name| has.fed.contains(name)),
        );
        has.steps(&document.model.steps, **name == *"inner");
    }
    has.found
}

struct Has {
    found: BTreeSet<&'static str>,
    /// Conditions that settle under a cause and that another brings back.
    fed: BTreeSet<Name>,
    /// Conditions that end when another falls.
    ended_by_fall: BTreeSet<Name>,
    /// Of conditions with questions by value, each value, and whether it has one.
    questions: BTreeMap<Name, Vec<(String, bool)>>,
}

impl Has {
    fn note(&mut self, construct: &'static str, is: bool) {
        if is {
            self.found.insert(construct);
        }
    }

    fn condition(&mut self, condition: &Condition) {
        let Condition {
            values: _,
            label: _,
            ask: _,
            seen_by: _,
            seen_when,
            normal,
            lapses,
            keeps,
            settles,
            lost_when,
        } = condition;
        let cause =
            settles.as_ref().map(|settles| settles.holds.as_ref().map(|holds| holds.cube().is_some()));
        self.note("settles while", cause == Some(Some(true)));
        self.note("settles while none", cause == Some(Some(false)));
        self.note("settles alone", cause == Some(None));
        self.note("hidden", condition.seen_by() == SeenBy::Nobody);
        self.note("seen by measure", condition.seen_by() == SeenBy::Measure);
        self.note("seen when", !seen_when.is_empty());
        self.note("keeps", *keeps);
        self.note("lost by map", lost_when.len() == 1);
        self.note("lost by list", lost_when.len() > 1);
        self.note("lost and settles", !lost_when.is_empty() && settles.is_some());
        self.note("normal", normal.is_some());
        self.note("lapses", lapses.is_some());
    }

    fn questions(&mut self, equipment: &Equipment) {
        for (name, condition) in &equipment.conditions {
            let Some(Ask::ByValue(questions)) = &condition.ask else { continue };
            self.note("asked by value", true);
            let of = condition.values.iter().map(|value| (value.clone(), questions.contains_key(value)));
            self.questions.insert(name.clone(), of.collect());
        }
    }

    /// Whether some tick of a look has an answer for each value that it does not ask for.
    fn asks_on(&self, cube: &Cube) -> bool {
        cube.iter().any(|(name, asked)| {
            let values = self.questions.get(name).into_iter().flatten();
            let others: Vec<bool> =
                values.filter(|(value, _)| !asked.0.contains(value)).map(|&(_, has)| has).collect();
            others.len() > 1 && others.iter().all(|&has| has)
        })
    }

    /// What time or what feeds it may change by itself, and what hangs on that.
    fn lasting(&mut self, equipment: &Equipment) {
        for (name, condition) in &equipment.conditions {
            let under = condition.settles.as_ref().and_then(|settles| settles.holds.as_ref()?.cube());
            if under.is_some() && !condition.lost_when.is_empty() {
                self.fed.insert(name.clone());
                let hidden = condition.seen_by() == SeenBy::Nobody;
                self.note(if hidden { "fed hidden" } else { "fed seen" }, true);
            }
        }
        for (name, condition) in &equipment.conditions {
            let causes = || condition.lost_when.iter().flatten();
            let falls = causes().any(|(of, values)| {
                let settles = equipment.conditions[of].settles.as_ref();
                settles.is_some_and(|falls| !values.0.contains(&falls.from) && values.0.contains(&falls.to))
            });
            if falls {
                self.ended_by_fall.insert(name.clone());
            }
            self.note("lost by what falls", falls);
            self.note("lost by what is fed", causes().any(|(of, _)| self.fed.contains(of)));
        }
    }

    fn looked_at(&mut self, cube: &Cube) {
        self.note("fed looked at", cube.keys().any(|name| self.fed.contains(name)));
    }

    fn act(&mut self, action: &Action) {
        let Action { act: _, work: _, requires: _, leaves, disturbs, tools: _, restores } = action;
        self.note("restores", *restores);
        self.note("restores several", *restores && leaves.len() > 1);
        self.note("restores and disturbs", *restores && !disturbs.is_empty());
    }

    fn of_work(&mut self, work: &Work) {
        let Work { requires, wear: _, hazard: _, by: _, people: _, verified_by: _ } = work;
        self.note("work requires", !requires.is_empty());
    }

    fn steps(&mut self, steps: &[Step], performed: bool) {
        for step in steps {
            self.step(step, performed);
            if let Some((_, inner)) = step.inner() {
                self.steps(inner, performed);
            }
        }
    }

    fn step(&mut self, step: &Step, performed: bool) {
        let common = &step.common;
        let (act, look) = self.kind(&step.kind);
        match &step.kind {
            Kind::Repeat(_) => {
                self.note("repeat requires", !common.requires.is_empty());
                self.note("repeat work", common.work.is_some());
            }
            Kind::AnyOrder(_) => {
                self.note("block requires", !common.requires.is_empty() || common.work.is_some());
            }
            Kind::Do(_)
            | Kind::Action(_)
            | Kind::Confirm(_)
            | Kind::Measure(_)
            | Kind::Wait(_)
            | Kind::Ask(_)
            | Kind::Hold(_)
            | Kind::Fasten(_)
            | Kind::Perform(_) => {}
        }
        self.keys(common, act, look);
        let answers = step.kind.answers().map(|(_, answer)| answer.target());
        let stops = answers.chain(&common.then).chain(&common.otherwise).any(|target| &*target.0 == "stop");
        self.note("stop in performed", performed && stops);
    }

    fn keys(&mut self, common: &Common, act: bool, look: bool) {
        self.note("then", common.then.is_some());
        if let Some(to) = &common.otherwise {
            self.note("otherwise stop", &*to.0 == "stop");
            self.note("otherwise done", &*to.0 == "done");
            self.note("otherwise step", !["stop", "done"].contains(&&*to.0));
        }
        self.note("fed written", act && common.leaves.keys().any(|name| self.fed.contains(name)));
        let ended = common.leaves.keys().any(|name| self.ended_by_fall.contains(name));
        self.note("what a fall ends written", act && ended);
        self.note("only", !common.only.is_empty());
        self.note("requires", !common.requires.is_empty());
        self.note("leaves 1", act && common.leaves.len() == 1);
        self.note("leaves 2", act && common.leaves.len() > 1);
        self.note("look leaves", look && !common.leaves.is_empty());
        self.note("disturbs", act && !common.disturbs.is_empty());
        self.note("look disturbs", look && !common.disturbs.is_empty());
        self.note("leaves and disturbs", common.disturbs.iter().any(|name| common.leaves.contains_key(name)));
        self.note("work", common.work.is_some());
        let verified = common.verified_by.is_some();
        self.note("verified act", verified && act);
        self.note("verified look", verified && look);
        self.note("verified other", verified && !act && !look);
    }

    /// The kind, and whether it is an act, and whether a look.
    fn kind(&mut self, kind: &Kind) -> (bool, bool) {
        match kind {
            Kind::Do(_) => self.note("do", true),
            Kind::Action(_) => self.note("action", true),
            Kind::Fasten(_) => self.note("fasten", true),
            Kind::Confirm(cube) => {
                self.looked_at(cube);
                self.note("asked on", self.asks_on(cube));
                self.note("confirm 1", cube.len() == 1);
                self.note("confirm 2", cube.len() == 2);
                self.note("confirm 3", cube.len() > 2);
            }
            Kind::Measure(measure) => {
                self.note("fed measured", measure.shows.keys().any(|name| self.fed.contains(name)));
                self.note("measure plain", measure.shows.is_empty());
                self.note("measure shows 1", measure.shows.len() == 1);
                self.note("measure shows 2", measure.shows.len() > 1);
                self.note("retests", measure.retests > 0);
            }
            Kind::Wait(wait) => {
                self.looked_at(&wait.until);
                self.note("asked on until", self.asks_on(&wait.until));
                self.note("wait", wait.until.is_empty());
                self.note(
                    "wait by variant",
                    wait.time.as_ref().is_some_and(|time| time.reference().is_some()),
                );
                self.note("wait until 1", wait.until.len() == 1);
                self.note("wait until 2", wait.until.len() > 1);
                self.note("wait until and for", !wait.until.is_empty() && wait.time.is_some());
            }
            Kind::Ask(_) => self.answers(kind),
            Kind::Hold(_) => self.note("hold", true),
            Kind::AnyOrder(_) => self.note("any order", true),
            Kind::Repeat(repeat) => {
                self.looked_at(&repeat.until);
                self.note("asked on in a round", self.asks_on(&repeat.until));
                self.note("repeat", true);
                self.note("repeat until 2", repeat.until.len() > 1);
                self.note("several rounds", repeat.at_most > 1);
            }
            Kind::Perform(_) => self.note("perform", true),
        }
        match kind {
            Kind::Do(_) | Kind::Action(_) | Kind::Fasten(_) => (true, false),
            Kind::Confirm(_) | Kind::Measure(_) | Kind::Ask(_) => (false, true),
            Kind::Wait(wait) => (false, !wait.until.is_empty()),
            Kind::Hold(_) | Kind::AnyOrder(_) | Kind::Repeat(_) | Kind::Perform(_) => (false, false),
        }
    }

    fn answers(&mut self, kind: &Kind) {
        let shows = kind.answers().filter_map(|(_, answer)| match answer {
            Answer::Goes(_) => None,
            Answer::Shows(outcome) => Some(&outcome.shows),
        });
        let shows: Vec<_> = shows.collect();
        shows.iter().for_each(|shows| self.looked_at(shows));
        self.note("ask plain", shows.len() < kind.answers().count());
        self.note("ask all show", shows.len() == kind.answers().count());
        self.note("ask shows", !shows.is_empty());
        self.note(
            "ask shows several values",
            shows.iter().any(|cube| cube.values().any(|values| values.0.len() > 1)),
        );
        self.note("ask shows several conditions", shows.iter().any(|cube| cube.len() > 1));
    }
}
