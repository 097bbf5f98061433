//! The texts and steps of a document, in written order.

use super::StepAt;
use super::text::{Owner, Role, Text, sentences};
use document::model::{Equipment, Procedure, Step};
use document::pointer;

fn text<'a>(role: Role, at: String, owner: Owner<'a>, raw: &'a str) -> Text<'a> {
    Text { role, at, owner, raw, sentences: sentences(raw) }
}

pub(super) fn procedure(model: &Procedure) -> Vec<Text<'_>> {
    let mut texts = Vec::with_capacity(4 + 2 * model.steps.len());
    let head = [
        (Role::Title, "title", &model.title),
        (Role::Purpose, "purpose", &model.purpose),
        (Role::Scope, "scope", &model.scope),
    ];
    let emergency = model.emergency.as_ref().map(|raw| (Role::Emergency, "emergency", raw));
    for (role, key, raw) in head.into_iter().chain(emergency) {
        texts.push(text(role, format!("/{key}"), Owner::Procedure, raw));
    }
    for StepAt { step, at, .. } in steps(&model.steps) {
        let own = [
            (Role::Act, "do", step.act.as_deref()),
            (Role::Ask, "ask", step.ask.as_deref()),
            (Role::What, "measure/what", step.measure.as_ref().map(|measure| measure.what.as_str())),
            (Role::Why, "wait/why", step.wait.as_ref().and_then(|wait| wait.why.as_deref())),
            (Role::Check, "hold/check", step.hold.as_ref().map(|hold| hold.check.as_str())),
            (Role::Note, "note", step.note.as_deref()),
            (Role::Expect, "expect", step.expect.as_deref()),
        ];
        for (role, key, raw) in own {
            if let Some(raw) = raw {
                texts.push(text(role, format!("{at}/{key}"), Owner::Step(&step.id), raw));
            }
        }
    }
    texts
}

pub(super) fn equipment(model: &Equipment) -> Vec<Text<'_>> {
    let mut texts = Vec::new();
    for (name, action) in &model.actions {
        texts.push(text(Role::Act, pointer("/actions", name) + "/do", Owner::Action(name), &action.act));
    }
    for (name, hazard) in &model.hazards {
        let at = pointer("/hazards", name);
        let parts = [
            (Role::Hazard, "hazard", &hazard.hazard),
            (Role::Consequence, "consequence", &hazard.consequence),
            (Role::Avoid, "avoid", &hazard.avoid),
        ];
        for (role, key, raw) in parts {
            texts.push(text(role, format!("{at}/{key}"), Owner::Hazard(name), raw));
        }
    }
    texts
}

/// All steps at any depth.
pub(super) fn steps(steps: &[Step]) -> Vec<StepAt<'_>> {
    fn walk<'a>(steps: &'a [Step], at: &str, found: &mut Vec<StepAt<'a>>) {
        for (index, step) in steps.iter().enumerate() {
            let at = format!("{at}/{index}");
            let inner = step.inner().map(|(segment, inner)| (format!("{at}{segment}"), inner));
            found.push(StepAt { step, at, next: steps.get(index + 1).map(|next| &next.id) });
            if let Some((at, inner)) = inner {
                walk(inner, &at, found);
            }
        }
    }
    let mut found = Vec::with_capacity(steps.len());
    walk(steps, "/steps", &mut found);
    found
}
