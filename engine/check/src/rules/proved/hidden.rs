//! Looks at what nobody sees, and what makes it so without an act.

use super::no_act::no_act;
use crate::performed::is_performed;
use crate::rule::{Finding, Pointer, Rule};
use crate::written::{WrittenProcedure, looks};
use document::model::{Condition, Cube, Name, SeenBy, Values, While, either};
use document::pointer;

pub(super) const RULES: &[Rule] = &[rule!(
    "P15",
    Error,
    "What nobody can see is to be looked at, or comes about without an act",
    Procedure(hidden_looked_at)
)];

fn hidden_looked_at(written: &WrittenProcedure<'_>) -> Vec<Finding<Pointer>> {
    let mut findings = Vec::new();
    let procedure = written.procedure;
    let unseen = hidden(written, &procedure.requires);
    // Where another procedure performs this one, it sees to what this one requires.
    if !unseen.is_empty() && !is_performed(written.library, &procedure.procedure) {
        for (name, values, condition) in unseen {
            let message = format!(
                "nobody can see `{name}`, so nobody can tick it before step 1, and no procedure performs this one"
            );
            let help = match wait_for(written, values, condition) {
                Some(wait) => format!("take it out, and begin with {wait}"),
                None => BY_ACTS.to_owned(),
            };
            findings.push(Finding::at_key(pointer("/requires", name), message).help(help));
        }
    }
    for one in &written.steps {
        for (key, cube, why) in looks(one.step) {
            for (name, values, condition) in hidden(written, cube) {
                let message = format!("nobody can see `{name}`, so {why}");
                let help = match wait_for(written, values, condition) {
                    Some(wait) => format!("put {wait} here instead; what needs it says so under `requires`"),
                    None => BY_ACTS.to_owned(),
                };
                findings.push(Finding::at_key(pointer(&one.key(&key), name), message).help(help));
            }
        }
        let Some(why) = no_act(&one.step.kind) else { continue };
        for (name, values, condition) in hidden(written, &one.step.common.leaves) {
            let message = format!("nobody can see `{name}`, and {why}: it `leaves` nothing so");
            let by_act = "write it under `leaves` of the act that makes it so";
            let help = match wait_for(written, values, condition) {
                Some(wait) => format!("take it out, and put {wait} before what needs it; or {by_act}"),
                None => format!("take it out, and {by_act}"),
            };
            findings.push(Finding::at_key(pointer(&one.key("leaves"), name), message).help(help));
        }
    }
    findings
}

/// What to do about what time alone does not bring about.
const BY_ACTS: &str = "take it out: it is known by acts alone, from what they say under `leaves`";

/// The conditions of a cube that nobody can see. One that may have any of its values is not asked for.
fn hidden<'a>(written: &WrittenProcedure<'a>, cube: &'a Cube) -> Vec<(&'a Name, &'a Values, &'a Condition)> {
    let conditions = &written.equipment.conditions;
    let known = cube.iter().filter_map(|(name, values)| Some((name, values, conditions.get(name)?)));
    let asked =
        known.filter(|(_, values, condition)| condition.values.iter().any(|one| !values.0.contains(one)));
    asked.filter(|(.., condition)| condition.seen_by() == SeenBy::Nobody).collect()
}

/// The wait after which it is so, if time alone makes it so.
fn wait_for(written: &WrittenProcedure<'_>, values: &Values, condition: &Condition) -> Option<String> {
    let settles = condition.settles.as_ref().filter(|settles| values.0.contains(&settles.to))?;
    let holds = settles.holds.as_ref().and_then(While::cube).into_iter().flatten();
    let holds: Vec<String> = holds
        .map(|(name, values)| format!("{} {}", written.equipment.label(name), either(&values.0)))
        .collect();
    let meanwhile = if holds.is_empty() { String::new() } else { format!(", with {}", holds.join(" and ")) };
    Some(format!("a step `wait: {{ for: {} }}`{meanwhile}", settles.after.text()))
}
