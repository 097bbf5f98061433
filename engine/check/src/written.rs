//! Documents as their authors wrote them: texts taken apart once, steps with their places. Nothing here is proved.

use crate::text::{Owner, Role, Text};
use document::model::{Answer, Cube, Equipment, Kind, Name, Procedure, Step, Values};
use document::{Library, pointer};
use machine::{Conjunct, Layout, Machine};

/// One procedure; its order is written order.
pub(crate) struct WrittenProcedure<'a> {
    pub(crate) procedure: &'a Procedure,
    pub(crate) equipment: &'a Equipment,
    pub(crate) library: &'a Library,
    pub(crate) texts: Vec<Text<'a>>,
    pub(crate) steps: Vec<StepAt<'a>>,
    /// The procedure as a machine; none if it is too large for one.
    pub(crate) compiled: Option<&'a Machine>,
}

/// One equipment document.
pub(crate) struct WrittenEquipment<'a> {
    pub(crate) equipment: &'a Equipment,
    pub(crate) library: &'a Library,
    pub(crate) texts: Vec<Text<'a>>,
}

/// One step with its place, at any depth.
pub(crate) struct StepAt<'a> {
    pub(crate) step: &'a Step,
    /// Its JSON pointer.
    pub(crate) at: String,
    /// The step after it in the same list.
    pub(crate) next: Option<&'a Name>,
}

impl StepAt<'_> {
    /// The pointer of a key of the step.
    pub(crate) fn key(&self, key: &str) -> String {
        format!("{}/{key}", self.at)
    }
}

impl<'a> WrittenProcedure<'a> {
    pub(crate) fn new(
        library: &'a Library,
        procedure: &'a Procedure,
        equipment: &'a Equipment,
        compiled: Option<&'a Machine>,
    ) -> Self {
        let steps = all_steps(&procedure.steps);
        let texts = texts_of_procedure(procedure, &steps);
        Self { procedure, equipment, library, texts, steps, compiled }
    }
}

impl<'a> WrittenEquipment<'a> {
    pub(crate) fn new(library: &'a Library, equipment: &'a Equipment) -> Self {
        Self { equipment, library, texts: texts_of_equipment(equipment) }
    }
}

fn texts_of_procedure<'a>(model: &'a Procedure, steps: &[StepAt<'a>]) -> Vec<Text<'a>> {
    let mut texts = Vec::with_capacity(4 + 2 * model.steps.len());
    let head = [
        (Role::Title, "title", &model.title),
        (Role::Purpose, "purpose", &model.purpose),
        (Role::Scope, "scope", &model.scope),
    ];
    let emergency = model.emergency.as_ref().map(|raw| (Role::Emergency, "emergency", raw));
    for (role, key, raw) in head.into_iter().chain(emergency) {
        texts.push(Text::new(role, format!("/{key}"), Owner::Procedure, raw));
    }
    for one in steps {
        let step = one.step;
        let of_kind = match &step.kind {
            Kind::Do(act) => Some((Role::Act, "do", Some(act))),
            Kind::Ask(question) => Some((Role::Ask, "ask", Some(&question.text))),
            Kind::Measure(measure) => Some((Role::What, "measure/what", Some(&measure.what))),
            Kind::Wait(wait) => Some((Role::Why, "wait/why", wait.why.as_ref())),
            Kind::Hold(hold) => Some((Role::Check, "hold/check", Some(&hold.check))),
            Kind::Action(_)
            | Kind::Confirm(_)
            | Kind::Fasten(_)
            | Kind::AnyOrder(_)
            | Kind::Repeat(_)
            | Kind::Perform(_) => None,
        };
        let common = [
            (Role::Note, "note", step.common.note.as_ref()),
            (Role::Expect, "expect", step.common.expect.as_ref()),
        ];
        for (role, key, raw) in of_kind.into_iter().chain(common) {
            if let Some(raw) = raw {
                texts.push(Text::new(role, one.key(key), Owner::Step(&step.common.id), raw));
            }
        }
    }
    texts
}

fn texts_of_equipment(model: &Equipment) -> Vec<Text<'_>> {
    let mut texts = Vec::new();
    for (name, action) in &model.actions {
        let at = pointer("/actions", name) + "/do";
        texts.push(Text::new(Role::Act, at, Owner::Action(name), &action.act));
    }
    for (name, hazard) in &model.hazards {
        let at = pointer("/hazards", name);
        let parts = [
            (Role::Hazard, "hazard", &hazard.hazard),
            (Role::Consequence, "consequence", &hazard.consequence),
            (Role::Avoid, "avoid", &hazard.avoid),
        ];
        for (role, key, raw) in parts {
            texts.push(Text::new(role, format!("{at}/{key}"), Owner::Hazard(name), raw));
        }
    }
    texts
}

/// All steps at any depth, in written order.
fn all_steps(steps: &[Step]) -> Vec<StepAt<'_>> {
    fn walk<'a>(steps: &'a [Step], at: &str, found: &mut Vec<StepAt<'a>>) {
        for (index, step) in steps.iter().enumerate() {
            let at = format!("{at}/{index}");
            let inner = step.inner().map(|(segment, inner)| (format!("{at}{segment}"), inner));
            found.push(StepAt { step, at, next: steps.get(index + 1).map(|next| &next.common.id) });
            if let Some((at, inner)) = inner {
                walk(inner, &at, found);
            }
        }
    }
    let mut found = Vec::with_capacity(steps.len());
    walk(steps, "/steps", &mut found);
    found
}

/// The conditions that a step has people look at, each with the key that says so, and why it cannot be
/// done where nobody can see the condition.
pub(crate) fn looks(step: &Step) -> Vec<(String, &Cube, &'static str)> {
    let look = |key: &str, cube, why| vec![(key.to_owned(), cube, why)];
    match &step.kind {
        Kind::Confirm(cube) => look("confirm", cube, "nobody can confirm it"),
        Kind::Measure(measure) => look("measure/shows", &measure.shows, "no reading shows it"),
        Kind::Wait(wait) => look("wait/until", &wait.until, "nobody sees when this wait is over"),
        Kind::Repeat(repeat) => look("repeat/until", &repeat.until, "nobody sees when the rounds end"),
        Kind::Ask(question) => {
            let answers = question.answers.iter().filter_map(|(word, answer)| match answer {
                Answer::Shows(outcome) => {
                    Some((pointer("answers", word) + "/shows", &outcome.shows, "no answer shows it"))
                }
                Answer::Goes(_) => None,
            });
            answers.collect()
        }
        Kind::Do(_)
        | Kind::Action(_)
        | Kind::Hold(_)
        | Kind::Fasten(_)
        | Kind::AnyOrder(_)
        | Kind::Perform(_) => Vec::new(),
    }
}

/// The conditions of a document in the machine; none if it does not know one.
pub(crate) fn in_machine(layout: &Layout, written: &Cube) -> Option<machine::Cube> {
    let one = |(name, values): (&Name, &Values)| {
        let var = layout.find(name)?;
        Some(Conjunct { var, set: layout.set_of(var, &values.0) })
    };
    written.iter().map(one).collect::<Option<Vec<Conjunct>>>().map(machine::Cube)
}
