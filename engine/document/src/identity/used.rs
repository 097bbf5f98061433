//! Which parts of an equipment document a procedure uses.
//!
//! Used is what its steps name, what is asked at its start and promised at its end, every restoring action, every rule that
//! could come into play, and every hazard that a rule or a type of work of the equipment names. What a condition may become
//! is followed without regard to order, which can only find more.

use crate::model::{
    Action, Answer, Common, Condition, Cube, Equipment, Fasten, Hold, Kind, Measure, Name, Outcome,
    Procedure, Question, Repeat, Rule, Settles, Step, Wait, Work,
};
use serde_json::Value as Json;
use std::collections::{BTreeMap, BTreeSet};

type Names = BTreeSet<Name>;

/// The names used, map by map.
#[derive(Default)]
pub(super) struct Used {
    conditions: Names,
    rules: Names,
    work: Names,
    actions: Names,
    hazards: Names,
    roles: Names,
    things: Names,
    instruments: Names,
    fasteners: Names,
}

/// For every condition the values it may come to have.
struct Possible<'a> {
    equipment: &'a Equipment,
    values: BTreeMap<Name, BTreeSet<String>>,
}

impl Possible<'_> {
    fn start(equipment: &Equipment, requires: &Cube) -> BTreeMap<Name, BTreeSet<String>> {
        let start = |(name, condition): (&Name, &Condition)| {
            let values = match (requires.get(name), &condition.normal) {
                (Some(stated), _) => stated.0.clone(),
                (None, Some(normal)) => vec![normal.clone()],
                (None, None) => condition.values.clone(),
            };
            (name.clone(), values.into_iter().collect())
        };
        equipment.conditions.iter().map(start).collect()
    }

    /// Whether all of a conjunction may be so.
    fn meets(&self, cube: &Cube) -> bool {
        cube.iter().all(|(name, values)| {
            self.values.get(name).is_none_or(|known| values.0.iter().any(|value| known.contains(value)))
        })
    }

    /// Adds values; says whether one is new.
    fn add<'v>(&mut self, name: &Name, values: impl IntoIterator<Item = &'v String>) -> bool {
        let Some(known) = self.values.get_mut(name) else { return false };
        let before = known.len();
        known.extend(values.into_iter().cloned());
        known.len() > before
    }

    fn add_cube(&mut self, cube: &Cube) {
        for (name, values) in cube {
            self.add(name, &values.0);
        }
    }

    fn add_all<'n>(&mut self, names: impl IntoIterator<Item = &'n Name>) -> bool {
        let equipment = self.equipment;
        let grows = |name: &&Name| {
            let all = equipment.conditions.get(*name).map(|condition| &condition.values);
            self.add(name, all.into_iter().flatten())
        };
        names.into_iter().filter(grows).count() > 0
    }

    /// What follows by itself: values that settle, evidence that may end.
    fn follow(&mut self) -> bool {
        let mut grown = false;
        for (name, condition) in &self.equipment.conditions {
            // Its values and its normal value are where it starts; what lapses becomes again what it was; a label and a
            // question are words; who sees it and when, and whether it keeps, makes nothing so.
            let Condition {
                settles,
                lost_when,
                values: _,
                normal: _,
                lapses: _,
                label: _,
                ask: _,
                seen_by: _,
                seen_when: _,
                keeps: _,
            } = condition;
            // It may settle at any moment, however long that takes and whatever its time hangs on.
            if let Some(Settles { from, to, after: _, holds: _ }) = settles
                && self.values.get(name).is_some_and(|known| known.contains(from))
            {
                grown |= self.add(name, [to]);
            }
            if lost_when.iter().any(|cause| self.meets(cause)) {
                grown |= self.add_all([name]);
            }
        }
        grown
    }
}

impl Used {
    /// What `procedures` use of their equipment when `first` is carried out and performs the others.
    pub(super) fn collect(equipment: &Equipment, first: &Procedure, procedures: &[&Procedure]) -> Self {
        let mut used = Self::default();
        let values = Possible::start(equipment, &first.requires);
        let mut possible = Possible { equipment, values };
        for procedure in procedures {
            // A new key does not compile until somebody says whether it names parts of the equipment.
            let Procedure {
                requires,
                leaves,
                performers,
                tools,
                supplies,
                spares,
                wear,
                steps,
                procedure: _,
                title: _,
                equipment: _,
                revision: _,
                effective: _,
                author: _,
                purpose: _,
                scope: _,
                time: _,
                level_of_use: _,
                amounts: _,
                emergency: _,
                accept: _,
            } = procedure;
            used.cube(requires);
            used.cube(leaves);
            used.roles.extend(performers.keys().cloned());
            for listed in [tools, supplies, spares, wear] {
                used.things.extend(listed.names().iter().cloned());
            }
            used.steps(steps, equipment, &mut possible);
        }
        used.roles.extend(equipment.release.clone());
        // A plan for stopping may take any of them, and a card prints what it says.
        for (name, action) in equipment.actions.iter().filter(|(_, action)| action.restores) {
            used.action(name, action, &mut possible);
        }
        while possible.follow() {}
        used.close(equipment, &possible);
        used
    }

    fn cube(&mut self, cube: &Cube) {
        self.conditions.extend(cube.keys().cloned());
    }

    fn steps(&mut self, steps: &[Step], equipment: &Equipment, possible: &mut Possible<'_>) {
        for step in steps {
            let Common {
                requires,
                leaves,
                disturbs,
                work,
                warn,
                tools,
                supplies,
                spares,
                by,
                verified_by,
                only,
                id: _,
                note: _,
                expect: _,
                accept: _,
                then: _,
                otherwise: _,
            } = &step.common;
            for cube in [requires, &**leaves, only] {
                self.cube(cube);
            }
            self.conditions.extend(disturbs.iter().cloned());
            possible.add_cube(leaves);
            possible.add_all(disturbs);
            self.work.extend(work.clone());
            self.hazards.extend(warn.iter().cloned());
            self.things.extend(tools.iter().chain(supplies).chain(spares).cloned());
            self.roles.extend(by.iter().chain(verified_by).cloned());
            self.kind(step, equipment, possible);
        }
    }

    fn kind(&mut self, step: &Step, equipment: &Equipment, possible: &mut Possible<'_>) {
        match &step.kind {
            Kind::Action(name) => {
                if let Some(action) = equipment.actions.get(name) {
                    self.action(name, action, possible);
                }
            }
            Kind::Confirm(cube) => self.cube(cube),
            // Figures and texts name no part but amounts, which are found in the text of the documents.
            Kind::Measure(measure) => {
                let Measure { shows, instrument, what: _, at_least: _, at_most: _, retests: _ } = &**measure;
                self.cube(shows);
                possible.add_all(shows.keys());
                self.instruments.insert(instrument.clone());
            }
            Kind::Wait(wait) => {
                let Wait { until, time: _, limit: _, why: _ } = &**wait;
                self.cube(until);
                possible.add_all(until.keys());
            }
            Kind::Hold(Hold { released_by, check: _ }) => {
                self.roles.insert(released_by.clone());
            }
            Kind::Fasten(Fasten { fasteners, pass: _ }) => {
                self.fasteners.insert(fasteners.clone());
            }
            Kind::Repeat(Repeat { steps, until, at_most: _ }) => {
                self.cube(until);
                self.steps(steps, equipment, possible);
            }
            Kind::AnyOrder(steps) => self.steps(steps, equipment, possible),
            Kind::Ask(Question { answers, text: _ }) => {
                for answer in answers.values() {
                    match answer {
                        Answer::Goes(_) => {}
                        Answer::Shows(Outcome { shows, then: _ }) => self.cube(shows),
                    }
                }
            }
            Kind::Do(_) | Kind::Perform(_) => {}
        }
    }

    fn action(&mut self, name: &Name, action: &Action, possible: &mut Possible<'_>) {
        self.actions.insert(name.clone());
        let Action { requires, leaves, disturbs, work, tools, act: _, restores: _ } = action;
        self.cube(requires);
        self.cube(leaves);
        self.conditions.extend(disturbs.iter().cloned());
        self.work.extend(work.clone());
        self.things.extend(tools.iter().cloned());
        possible.add_cube(leaves);
        possible.add_all(disturbs);
    }

    /// Adds the rules that may come into play, and what all that is used names in turn.
    fn close(&mut self, equipment: &Equipment, possible: &Possible<'_>) {
        // A new key does not compile until somebody says whether it names parts, and, in `part_of`, whether it counts.
        let Equipment {
            never,
            work: types_of_work,
            safe_state,
            conditions,
            // They are followed and taken up before this.
            actions: _,
            release: _,
            // They hold figures and words, and are kept where something names them.
            variants: _,
            hazards: _,
            roles: _,
            tools: _,
            supplies: _,
            spares: _,
            wear: _,
            instruments: _,
            fasteners: _,
            amounts: _,
            // They are of the machine as a whole, and count as they stand.
            equipment: _,
            title: _,
            defer: _,
            units: _,
            writing: _,
            terms: _,
            accept: _,
            energy: _,
            // It goes up for changes that touch other procedures alone, and does not count.
            revision: _,
        } = equipment;
        // Whatever rule or type of work names a hazard, a card or a plan may print it: it is in, where in doubt.
        self.hazards.extend(never.values().map(|rule| rule.hazard.clone()));
        self.hazards.extend(types_of_work.values().filter_map(|work| work.hazard.clone()));
        for (name, rule) in never.iter().filter(|(_, rule)| possible.meets(&rule.when)) {
            let Rule { when, released_by, hazard: _, why: _ } = rule;
            self.rules.insert(name.clone());
            self.cube(when);
            self.roles.extend(released_by.clone());
        }
        for work in self.work.clone().iter().filter_map(|name| types_of_work.get(name)) {
            let Work { requires, wear, by, verified_by, hazard: _, people: _ } = work;
            self.cube(requires);
            self.things.extend(wear.iter().cloned());
            self.roles.extend(by.iter().chain(verified_by).cloned());
        }
        safe_state.iter().for_each(|cube| self.cube(cube));
        // Every card and every walk asks for the normal values of all others.
        let normal = conditions.iter().filter(|(_, condition)| condition.normal.is_some());
        self.conditions.extend(normal.map(|(name, _)| name.clone()));
        loop {
            let known = self.conditions.iter().filter_map(|name| conditions.get(name));
            let more: Names = known.flat_map(hangs_on).flat_map(|cube| cube.keys().cloned()).collect();
            if more.is_subset(&self.conditions) {
                return;
            }
            self.conditions.extend(more);
        }
    }

    /// The equipment document without what is not used. `texts` are the documents that may refer to amounts.
    pub(super) fn part_of(&self, json: Json, texts: &[String]) -> Json {
        let Json::Object(mut map) = json else { return json };
        map.shift_remove("revision");
        let keep = [
            ("conditions", &self.conditions),
            ("never", &self.rules),
            ("work", &self.work),
            ("actions", &self.actions),
            ("hazards", &self.hazards),
            ("roles", &self.roles),
            ("tools", &self.things),
            ("supplies", &self.things),
            ("spares", &self.things),
            ("wear", &self.things),
            ("instruments", &self.instruments),
            ("fasteners", &self.fasteners),
        ];
        for (key, names) in keep {
            if let Some(Json::Object(entries)) = map.get_mut(key) {
                entries.retain(|name, _| names.contains(name.as_str()));
            }
        }
        let amounts = map.shift_remove("amounts");
        let variants = map.shift_remove("variants");
        let mut texts: Vec<String> = texts.to_vec();
        texts.push(Json::Object(map.clone()).to_string());
        let amounts = named_in(amounts, &mut texts, |_| false);
        let variants = named_in(variants, &mut texts, |name| self.conditions.contains(name));
        map.insert("amounts".to_owned(), amounts);
        map.insert("variants".to_owned(), variants);
        Json::Object(map)
    }
}

/// What decides about what is known of a condition: what ends its evidence, covers it, or lets its time count.
fn hangs_on(condition: &Condition) -> impl Iterator<Item = &Cube> {
    let holds = condition.settles.as_ref().and_then(|settles| settles.holds.as_ref()?.cube());
    condition.lost_when.iter().chain([&condition.seen_when]).chain(holds)
}

/// The entries that a text refers to as `$name` or in a template, and those that `also` wants. What is kept is a text
/// that may refer to others.
fn named_in(entries: Option<Json>, texts: &mut Vec<String>, also: impl Fn(&str) -> bool) -> Json {
    let Some(Json::Object(mut open)) = entries else { return Json::Null };
    let mut kept = serde_json::Map::new();
    loop {
        let named = |name: &String| {
            let reference = format!("${name}");
            let template = name.replace('-', "_");
            texts.iter().any(|text| {
                text.contains(&reference) || text.contains("{{") && text.contains(template.as_str())
            })
        };
        let found: Vec<String> = open.keys().filter(|name| also(name) || named(name)).cloned().collect();
        if found.is_empty() {
            return Json::Object(kept);
        }
        for name in found {
            if let Some(value) = open.shift_remove(&name) {
                texts.push(value.to_string());
                kept.insert(name, value);
            }
        }
    }
}
