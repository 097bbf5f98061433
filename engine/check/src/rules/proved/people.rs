//! People that the equipment asks for.

use crate::rule::{Finding, Pointer, Rule};
use crate::written::{StepAt, WrittenProcedure};
use document::Library;
use document::model::{Equipment, Kind, Name, Procedure, Step, Work};

pub(super) const RULES: &[Rule] =
    &[rule!("P13", Error, "A step leaves out the people that its work asks for", Step(people_left_out))];

fn people_left_out(one: &StepAt<'_>, written: &WrittenProcedure<'_>) -> Vec<Finding<Pointer>> {
    let (common, id) = (&one.step.common, &one.step.common.id);
    let there = performers(written.procedure);
    let mut findings = Vec::new();
    for (name, work, key) in works(one.step, written.equipment) {
        let roles = [
            ("by", &work.by, &common.by, "done"),
            ("verified_by", &work.verified_by, &common.verified_by, "verified"),
        ];
        for (role_key, asked, given, done) in roles {
            let Some(role) = asked.as_ref().filter(|role| given.as_ref() != Some(role)) else { continue };
            let (at, instead) = match given {
                Some(other) => (role_key, format!("is to be {done} by `{other}`")),
                None => (key, format!("does not say by whom it is {done}")),
            };
            let message =
                format!("step `{id}` is `{name}`, which has to be {done} by `{role}`, and {instead}");
            findings.push(Finding::at_key(one.key(at), message).help(format!(
                "write `{role_key}: {role}` at the step, and list the role under `performers`"
            )));
        }
        if let Some(people) = work.people.filter(|people| u64::from(*people) > there) {
            let message = format!(
                "step `{id}` is `{name}`, which takes {people} people, and `performers` counts {there}"
            );
            findings.push(Finding::at_key(one.key(key), message).help("list everybody under `performers`"));
        }
    }
    if let Kind::Perform(name) = &one.step.kind
        && let Some((people, work)) = most_people(written.library, written.equipment, name, &mut Vec::new())
        && u64::from(people) > there
    {
        let message = format!(
            "step `{id}` performs `{name}`, in which `{work}` takes {people} people, and `performers` counts {there}"
        );
        findings.push(Finding::at_key(one.key("perform"), message).help("list everybody under `performers`"));
    }
    findings
}

fn performers(procedure: &Procedure) -> u64 {
    procedure.performers.values().map(|&people| u64::from(people)).sum()
}

/// The types of work that a step is, each with the key that says so.
fn works<'a>(step: &'a Step, equipment: &'a Equipment) -> Vec<(&'a Name, &'a Work, &'static str)> {
    let action = step.kind.action().and_then(|name| equipment.actions.get(name));
    let own = step.common.work.iter().map(|name| (name, "work"));
    let names = own.chain(action.and_then(|action| action.work.as_ref()).map(|name| (name, "action")));
    let mut works: Vec<(&Name, &Work, &str)> = Vec::new();
    for (name, key) in names {
        if let Some(work) = equipment.work.get(name)
            && !works.iter().any(|(known, ..)| *known == name)
        {
            works.push((name, work, key));
        }
    }
    works
}

/// The most people that any work takes in a procedure or in one that it performs, with that work.
fn most_people<'a>(
    library: &'a Library,
    equipment: &'a Equipment,
    name: &'a Name,
    seen: &mut Vec<&'a Name>,
) -> Option<(u32, &'a Name)> {
    fn each<'a>(steps: &'a [Step], visit: &mut impl FnMut(&'a Step)) {
        for step in steps {
            visit(step);
            if let Some((_, inner)) = step.inner() {
                each(inner, visit);
            }
        }
    }
    if seen.contains(&name) {
        return None;
    }
    seen.push(name);
    let procedure = &library.procedures.get(name)?.model;
    let mut most: Option<(u32, &Name)> = None;
    let mut steps = Vec::new();
    each(&procedure.steps, &mut |step| steps.push(step));
    for step in steps {
        let own = works(step, equipment).into_iter().filter_map(|(name, work, _)| Some((work.people?, name)));
        let performed = match &step.kind {
            Kind::Perform(other) => most_people(library, equipment, other, seen),
            Kind::Do(_)
            | Kind::Action(_)
            | Kind::Confirm(_)
            | Kind::Measure(_)
            | Kind::Wait(_)
            | Kind::Ask(_)
            | Kind::Hold(_)
            | Kind::Fasten(_)
            | Kind::AnyOrder(_)
            | Kind::Repeat(_) => None,
        };
        most = own.chain(performed).chain(most).max_by_key(|(people, _)| *people);
    }
    most
}
