//! What the head of a procedure lists, against what its steps take.

use crate::rule::{Finding, Pointer, Rule};
use crate::written::{StepAt, WrittenProcedure};
use document::model::{Kind, Name};
use std::collections::BTreeMap;

pub(super) const RULES: &[Rule] = &[
    rule!(
        "T01",
        Warning,
        "A tool is listed that no step takes",
        Procedure(|written| listed_and_unused(written, Things::Tool))
    ),
    rule!(
        "T02",
        Warning,
        "A step takes a tool that is not listed",
        Procedure(|written| taken_and_unlisted(written, Things::Tool))
    ),
    rule!(
        "T03",
        Warning,
        "A supply is listed that no step takes",
        Procedure(|written| listed_and_unused(written, Things::Supply))
    ),
    rule!(
        "T04",
        Warning,
        "A step takes a supply that is not listed",
        Procedure(|written| taken_and_unlisted(written, Things::Supply))
    ),
    rule!(
        "T05",
        Warning,
        "A spare is listed that no step takes",
        Procedure(|written| listed_and_unused(written, Things::Spare))
    ),
    rule!(
        "T06",
        Warning,
        "A step takes a spare that is not listed",
        Procedure(|written| taken_and_unlisted(written, Things::Spare))
    ),
    rule!(
        "T07",
        Warning,
        "Protective equipment is listed that no step needs",
        Procedure(|written| listed_and_unused(written, Things::Wear))
    ),
    rule!(
        "T08",
        Warning,
        "Work asks for protective equipment that is not listed",
        Procedure(|written| taken_and_unlisted(written, Things::Wear))
    ),
];

/// One kind of things that are listed and taken.
#[derive(Clone, Copy)]
enum Things {
    Tool,
    Supply,
    Spare,
    Wear,
}

impl Things {
    fn key(self) -> &'static str {
        match self {
            Self::Tool => "tools",
            Self::Supply => "supplies",
            Self::Spare => "spares",
            Self::Wear => "wear",
        }
    }
}

fn listed<'a>(written: &WrittenProcedure<'a>, things: Things) -> &'a [Name] {
    let model = written.procedure;
    match things {
        Things::Tool => model.tools.names(),
        Things::Supply => model.supplies.names(),
        Things::Spare => model.spares.names(),
        Things::Wear => model.wear.names(),
    }
}

/// What one step takes, each with the key that says so.
fn of_step<'a>(
    written: &WrittenProcedure<'a>,
    one: &StepAt<'a>,
    things: Things,
) -> Vec<(&'a Name, &'static str)> {
    let step = one.step;
    let equipment = written.equipment;
    let action = step.kind.action().and_then(|name| equipment.actions.get(name));
    let own = match things {
        Things::Tool => &step.common.tools[..],
        Things::Supply => &step.common.supplies,
        Things::Spare => &step.common.spares,
        Things::Wear => &[],
    };
    let mut taken: Vec<(&Name, &str)> = own.iter().map(|name| (name, things.key())).collect();
    let works =
        [(step.common.work.as_ref(), "work"), (action.and_then(|action| action.work.as_ref()), "action")];
    match things {
        Things::Tool => {
            taken.extend(action.iter().flat_map(|action| &action.tools).map(|name| (name, "action")))
        }
        Things::Wear => {
            let works = works.into_iter().filter_map(|(work, key)| Some((equipment.work.get(work?)?, key)));
            taken.extend(works.flat_map(|(work, key)| work.wear.iter().map(move |name| (name, key))));
        }
        Things::Supply | Things::Spare => {}
    }
    if let Kind::Perform(name) = &step.kind
        && let Some(performed) = written.library.procedures.get(name)
    {
        let model = &performed.model;
        let lists = match things {
            Things::Tool => &model.tools,
            Things::Supply => &model.supplies,
            Things::Spare => &model.spares,
            Things::Wear => &model.wear,
        };
        taken.extend(lists.names().iter().map(|name| (name, "perform")));
    }
    taken
}

/// Everything taken, each with where it is first taken.
fn taken<'a>(written: &WrittenProcedure<'a>, things: Things) -> BTreeMap<&'a Name, (String, &'a Name)> {
    let mut taken = BTreeMap::new();
    for one in &written.steps {
        for (name, key) in of_step(written, one, things) {
            taken.entry(name).or_insert_with(|| (one.key(key), &one.step.common.id));
        }
    }
    taken
}

fn listed_and_unused(written: &WrittenProcedure<'_>, things: Things) -> Vec<Finding<Pointer>> {
    let taken = taken(written, things);
    let key = things.key();
    let unused = listed(written, things).iter().enumerate().filter(|(_, name)| !taken.contains_key(name));
    unused
        .map(|(index, name)| {
            Finding::at_key(
                format!("/{key}/{index}"),
                format!("`{name}` is listed under `{key}`, but no step takes it"),
            )
            .help("name it at the step that takes it, or take it off the list")
        })
        .collect()
}

fn taken_and_unlisted(written: &WrittenProcedure<'_>, things: Things) -> Vec<Finding<Pointer>> {
    let listed = listed(written, things);
    let key = things.key();
    let missing = taken(written, things).into_iter().filter(|(name, _)| !listed.contains(name));
    missing
        .map(|(name, (at, step))| {
            Finding::at_key(at, format!("step `{step}` takes `{name}`, which `{key}` does not list"))
                .help(format!("list `{name}` under `{key}`"))
        })
        .collect()
}
