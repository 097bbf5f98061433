//! The front of the card and its end: everything but the steps.

use super::approval::CardApproval;
use super::model::{Before, Identity, Listing, Person, Restoration, WorkType};
use super::pieces::Question;
use super::reach::Reach;
use super::scope::{Scope, named, people_of};
use crate::clean::clean_line;
use crate::count::capital;
use crate::mark::{Code, Mark};
use document::model::{LevelOfUse, Name, Step, Values};
use machine::{Conjunct, Effect, Machine, Promise, PromiseSource, VarId};
use std::collections::{BTreeMap, BTreeSet};

/// Stands before what a procedure that is only performed by others requires of what nobody can see.
pub const NOT_BY_HAND: &str = "Not to be started by hand, but only by a procedure that performs this one: nobody can see whether it is so:";

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
                people: people_of(work),
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

    pub(super) fn before(&self, machine: &Machine) -> Before {
        let requires = &self.procedure.model.requires;
        let is_open = |name: &Name, values: &Values| {
            self.machine()
                .conditions
                .get(name)
                .is_some_and(|known| known.values.iter().all(|one| values.0.contains(one)))
        };
        let asked = |by_record: bool| -> Vec<Question> {
            let asked = machine.asked.iter().filter(|asked| asked.by_record == by_record);
            asked.filter_map(|asked| self.question_of(machine, asked.conjunct)).collect()
        };
        Before {
            variants: self.used_variants(),
            questions: asked(false),
            by_record: asked(true),
            unseen: machine.unseen.iter().map(|&part| self.statement_of(machine, part)).collect(),
            unknown: requires
                .iter()
                .filter(|(name, values)| is_open(name, values))
                .map(|(name, values)| self.statement(name, values))
                .collect(),
        }
    }

    /// What is promised, and what an act wrote that must be as usual: each is looked at, unless nobody can see it then, or it is
    /// evidence, which is judged by its causes.
    pub(super) fn restoration(&self, machine: &Machine) -> Restoration {
        let written = written(machine);
        let is_owed = |promise: &&Promise| match promise.source {
            PromiseSource::Leaves => true,
            PromiseSource::Normal => written.contains(&promise.conjunct.var),
        };
        let owed: Vec<Conjunct> =
            machine.promises.iter().filter(is_owed).map(|promise| promise.conjunct).collect();
        let untouched = machine.asked.iter().map(|asked| asked.conjunct);
        let untouched = untouched.filter(|part| !written.contains(&part.var));
        let known: Vec<Conjunct> = owed.iter().copied().chain(untouched).collect();
        let is_so =
            |part: &Conjunct| known.iter().any(|known| known.var == part.var && known.set & !part.set == 0);
        let can_be_seen = |part: &Conjunct| {
            let sight = machine.sight(part.var);
            sight.is_asked && !machine.is_evidence(part.var) && sight.when.0.iter().all(is_so)
        };
        let (seen, unseen): (Vec<Conjunct>, Vec<Conjunct>) = owed.iter().copied().partition(can_be_seen);
        Restoration {
            questions: seen.into_iter().filter_map(|part| self.question_of(machine, part)).collect(),
            by_record: unseen.into_iter().map(|part| self.statement_of(machine, part)).collect(),
        }
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

/// What acts may write, with the evidence that may end thereby, one loss leading to the next.
fn written(machine: &Machine) -> BTreeSet<VarId> {
    let effects = machine.nodes.iter().flat_map(|node| &node.outcomes).flat_map(|outcome| &outcome.effects);
    let mut values: BTreeMap<VarId, u64> = BTreeMap::new();
    for effect in effects {
        let (var, set) = match *effect {
            Effect::Write(part) => (part.var, part.set),
            Effect::Open(var) => (var, machine.layout.all(var)),
            Effect::Look(_) | Effect::Find(_) | Effect::Lose(_) | Effect::Verify(_) => continue,
        };
        *values.entry(var).or_default() |= set;
    }
    loop {
        let is_written = |part: &Conjunct| values.get(&part.var).is_some_and(|set| set & part.set != 0);
        let lost = machine.lost_when.iter().filter(|lost| lost.when.0.iter().any(is_written));
        let more: Vec<VarId> = lost.map(|lost| lost.var).filter(|var| !values.contains_key(var)).collect();
        if more.is_empty() {
            return values.into_keys().collect();
        }
        values.extend(more.into_iter().map(|var| (var, machine.layout.all(var))));
    }
}
