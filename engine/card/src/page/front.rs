//! The front of the card and its end: everything but the steps.

use super::approval::CardApproval;
use super::model::{Before, Identity, Listing, Person, Restoration, WorkType};
use super::reach::Reach;
use super::scope::{Scope, named};
use crate::clean::clean_line;
use crate::count::capital;
use crate::mark::{Code, Mark};
use document::model::{Cube, LevelOfUse, Name, Step, Values};

/// For equipment that does not say it itself.
const DEFER: &str =
    "The maker's instructions for the equipment, the local rules and licensed practice come first.";

impl Scope<'_> {
    pub(super) fn identity(&self, standing: &CardApproval) -> Identity {
        let (procedure, equipment) = (&self.procedure.model, self.machine());
        let mark = Mark {
            id: procedure.procedure.to_string(),
            revision: procedure.revision,
            content: clean_line(&standing.content),
        };
        let mark = mark.to_string();
        Identity {
            code: Code::encode(&mark),
            mark,
            title: clean_line(&procedure.title),
            id: procedure.procedure.to_string(),
            revision: procedure.revision,
            effective: procedure.effective.as_deref().map(clean_line),
            author: procedure.author.as_deref().map(clean_line),
            equipment: clean_line(&equipment.title),
            equipment_id: equipment.equipment.to_string(),
            equipment_revision: equipment.revision,
            machine: self.chosen_words(),
            content: clean_line(&standing.content),
            standing: clean_line(&standing.words()),
            approved: standing.is_approval(),
        }
    }

    pub(super) fn defer(&self) -> String {
        clean_line(self.machine().defer.as_deref().unwrap_or(DEFER).trim())
    }

    pub(super) fn people(&self) -> Vec<Person> {
        let roles = &self.machine().roles;
        let people = self.procedure.model.performers.iter();
        people
            .map(|(role, &count)| Person {
                count,
                role: role.words(),
                must_be: roles.get(role).map(|text| clean_line(text)),
            })
            .collect()
    }

    pub(super) fn level_of_use(&self) -> String {
        match self.procedure.model.level_of_use {
            LevelOfUse::Continuous => {
                "Continuous: in hand. Read each step, do it, tick it, then go to the next."
            }
            LevelOfUse::Reference => "Reference: at hand. Look at it as needed, and tick each step.",
            LevelOfUse::Information => "Information: read it beforehand.",
        }
        .to_owned()
    }

    pub(super) fn needs(&self, reach: &Reach<'_>) -> Vec<Listing> {
        let (procedure, equipment) = (&self.procedure.model, self.machine());
        let listing = |title: &str, items| Listing { title: title.to_owned(), items };
        let wear = procedure.wear.names().iter().chain(reach.wear.iter().copied());
        vec![
            listing("Tools", named(procedure.tools.names(), |name| equipment.tools.get(name))),
            listing("Supplies", named(procedure.supplies.names(), |name| equipment.supplies.get(name))),
            listing("Spares", named(procedure.spares.names(), |name| equipment.spares.get(name))),
            listing("Protective equipment", named(wear, |name| equipment.wear.get(name))),
        ]
    }

    /// The types of work that the steps name, in the equipment's order.
    pub(super) fn work_types(&self) -> Vec<WorkType> {
        let mut used: Vec<&Name> = Vec::new();
        self.collect_work(&self.procedure.model.steps, &mut used);
        let equipment = self.machine();
        let types = equipment.work.iter().filter(|(name, _)| used.contains(name));
        types
            .map(|(name, work)| WorkType {
                name: name.words(),
                needs: self.statements(&work.requires),
                wear: named(&work.wear, |name| equipment.wear.get(name)),
                hazard: work.hazard.as_ref().and_then(|name| equipment.hazards.get(name)).map(|hazard| {
                    let warning = super::hazards::warning(hazard);
                    format!("{}: {}", warning.word.word(), warning.hazard)
                }),
            })
            .collect()
    }

    fn collect_work<'b>(&'b self, steps: &'b [Step], used: &mut Vec<&'b Name>) {
        for step in steps {
            used.extend(self.work(step).into_iter().map(|(name, _)| name));
            if let Some((_, inner)) = step.inner() {
                self.collect_work(inner, used);
            }
        }
    }

    pub(super) fn before(&self) -> Before {
        let requires = &self.procedure.model.requires;
        let is_open = |name: &Name, values: &Values| {
            self.machine()
                .conditions
                .get(name)
                .is_some_and(|known| known.values.iter().all(|one| values.0.contains(one)))
        };
        Before {
            variants: self.used_variants(),
            questions: self.questions(requires),
            usual: self.usual(requires, |_| true),
            unknown: requires
                .iter()
                .filter(|(name, values)| is_open(name, values))
                .map(|(name, values)| self.statement(name, values))
                .collect(),
        }
    }

    /// What was promised and what was touched is looked at one by one; the rest is as it was.
    pub(super) fn restoration(&self, reach: &Reach<'_>) -> Restoration {
        let leaves = &self.procedure.model.leaves;
        let touched = self.normals(leaves, |name| reach.changes.contains_key(name));
        let mut questions = self.questions(leaves);
        questions.extend(touched.iter().filter_map(|(name, values)| self.question(name, values)));
        Restoration { questions, usual: self.usual(leaves, |name| !reach.changes.contains_key(name)) }
    }

    fn usual(&self, stated: &Cube, wanted: impl Fn(&Name) -> bool) -> Vec<String> {
        let normals = self.normals(stated, wanted);
        normals.iter().map(|(name, values)| self.statement(name, values)).collect()
    }

    /// The conditions with a `normal` that are not stated.
    fn normals(&self, stated: &Cube, wanted: impl Fn(&Name) -> bool) -> Vec<(&Name, Values)> {
        let conditions = self.machine().conditions.iter();
        conditions
            .filter(|(name, _)| !stated.contains_key(*name) && wanted(name))
            .filter_map(|(name, condition)| Some((name, Values(vec![condition.normal.clone()?]))))
            .collect()
    }

    /// The state in which work may be left, from the equipment.
    pub(super) fn stop(&self) -> Vec<String> {
        self.machine().safe_state.as_ref().map(|cube| self.statements(cube)).unwrap_or_default()
    }

    /// A line for each performer.
    pub(super) fn signatures(&self) -> Vec<String> {
        let people = self.procedure.model.performers.iter();
        people
            .flat_map(|(role, &count)| {
                // More lines than people who fit round a machine would be a slip in the figure.
                (1..=count.min(12)).map(move |one| match count {
                    1 => capital(&role.words()),
                    _ => format!("{} {one}", capital(&role.words())),
                })
            })
            .collect()
    }
}
