//! Looking up every name of a procedure and its equipment.

use super::model::{Cube, Judged, Restoring, Settling, Variable};
use crate::time;
use document::Library;
use document::model::{self as written, Ask, Equipment, Procedure, SeenBy};

impl Judged {
    /// The procedure of that name. Panics on documents with findings: they have no meaning to be tried.
    #[must_use]
    pub fn new(library: &Library, name: &str) -> Self {
        let equipment = &library.equipment[&library.procedures[name].model.equipment].model;
        let procedures = library.procedures.values().map(|document| &document.model);
        Self::of(equipment, &procedures.collect::<Vec<_>>(), name)
    }

    /// The procedure of that name among some of one equipment.
    pub(crate) fn of(equipment: &Equipment, procedures: &[&Procedure], name: &str) -> Self {
        let procedure = named(procedures, name);
        let mut judged = Self {
            vars: variables(equipment),
            rules: Vec::new(),
            released: Vec::new(),
            requires: Vec::new(),
            leaves: Vec::new(),
            rest: None,
            restoring: Vec::new(),
            steps: Vec::new(),
            planned: 0,
        };
        for (name, condition) in &equipment.conditions {
            let var = judged.var(name);
            if let Some(Ask::ByValue(questions)) = &condition.ask {
                judged.vars[var].asked = judged.set(var, &questions.keys().cloned().collect::<Vec<_>>());
            }
            judged.vars[var].lost = condition.lost_when.iter().map(|cause| judged.cube(cause)).collect();
            judged.vars[var].seen_when = judged.cube(&condition.seen_when);
            judged.vars[var].normal =
                condition.normal.as_ref().map(|value| judged.set(var, std::slice::from_ref(value)));
            judged.vars[var].settles = condition.settles.as_ref().map(|settles| Settling {
                from: judged.set(var, std::slice::from_ref(&settles.from)),
                to: judged.set(var, std::slice::from_ref(&settles.to)),
                after: time::parsed(settles.after.text()),
                holds: settles
                    .holds
                    .iter()
                    .filter_map(|holds| holds.cube())
                    .flat_map(|c| judged.cube(c))
                    .collect(),
            });
        }
        let forbidden = equipment.never.iter().filter(|(_, rule)| rule.released_by.is_none());
        judged.rules = forbidden.map(|(name, rule)| (name.to_string(), judged.cube(&rule.when))).collect();
        let released = equipment.never.values().filter(|rule| rule.released_by.is_some());
        judged.released = released.map(|rule| judged.cube(&rule.when)).collect();
        judged.rest = equipment.safe_state.as_ref().map(|state| judged.cube(state));
        for (name, action) in equipment.actions.iter().filter(|(_, action)| action.restores) {
            let mut needs = judged.cube(&action.requires);
            needs.extend(judged.of_work(equipment, &action.work));
            let writes = judged.writes(&action.leaves, &action.disturbs);
            judged.restoring.push(Restoring { name: name.to_string(), needs, writes });
        }
        judged.requires = judged.cube(&procedure.requires);
        judged.leaves = judged.cube(&procedure.leaves);
        judged.steps = judged.list(equipment, procedures, procedure, &procedure.steps);
        judged.planned = judged.read_by_plans();
        judged
    }

    pub(super) fn var(&self, name: &str) -> usize {
        self.vars.iter().position(|known| known.name == name).expect("a known condition")
    }

    pub(super) fn set(&self, var: usize, values: &[String]) -> u64 {
        let known = &self.vars[var].values;
        let bit = |value: &String| 1u64 << known.iter().position(|one| one == value).expect("a known value");
        values.iter().map(bit).fold(0, |set, bit| set | bit)
    }

    pub(super) fn cube(&self, cube: &written::Cube) -> Cube {
        cube.iter().map(|(name, values)| (self.var(name), self.set(self.var(name), &values.0))).collect()
    }

    /// What a type of work requires.
    pub(super) fn of_work(&self, equipment: &Equipment, work: &Option<written::Name>) -> Cube {
        work.iter().flat_map(|work| self.cube(&equipment.work[work].requires)).collect()
    }

    /// What is written, in the order written: what is left, then what is disturbed, be it left too (R14).
    pub(super) fn writes(
        &self,
        leaves: &written::Cube,
        disturbs: &[written::Name],
    ) -> Vec<(usize, u64, bool)> {
        let left = self.cube(leaves).into_iter().map(|(var, set)| (var, set, false));
        let disturbed = disturbs.iter().map(|name| self.var(name));
        left.chain(disturbed.map(|var| (var, self.all(var), true))).collect()
    }
}

/// The procedure of that name.
pub(super) fn named<'a>(procedures: &[&'a Procedure], name: &str) -> &'a Procedure {
    procedures.iter().find(|procedure| *procedure.procedure == *name).expect("a procedure of that name")
}

fn variables(equipment: &Equipment) -> Vec<Variable> {
    let plain = |name: &written::Name, values: &[String]| Variable {
        name: name.to_string(),
        values: values.to_vec(),
        variant: true,
        settles: None,
        lost: Vec::new(),
        hidden: false,
        ask: true,
        asked: 0,
        seen_when: Vec::new(),
        keeps: true,
        normal: None,
    };
    let variants = equipment.variants.iter().map(|(name, values)| plain(name, values));
    let conditions = equipment.conditions.iter().map(|(name, condition)| Variable {
        variant: false,
        hidden: condition.seen_by() == SeenBy::Nobody,
        ask: condition.ask.is_some(),
        keeps: condition.keeps,
        ..plain(name, &condition.values)
    });
    variants.chain(conditions).collect()
}
