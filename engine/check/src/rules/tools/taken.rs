//! What steps take, compared with what the head of the procedure lists.

use crate::writing::{Found, StepAt, Writing};
use document::model::{Kind, Name};
use std::collections::BTreeMap;

/// One kind of things that are listed and taken.
#[derive(Clone, Copy)]
pub(super) enum Things {
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

fn listed<'a>(writing: &Writing<'a>, things: Things) -> &'a [Name] {
    let model = writing.model();
    match things {
        Things::Tool => model.tools.names(),
        Things::Supply => model.supplies.names(),
        Things::Spare => model.spares.names(),
        Things::Wear => model.wear.names(),
    }
}

/// What one step takes, each with the key that says so.
fn of_step<'a>(writing: &Writing<'a>, one: &StepAt<'a>, things: Things) -> Vec<(&'a Name, &'static str)> {
    let step = one.step;
    let machine = writing.machine();
    let action = step.action.as_ref().and_then(|name| machine.actions.get(name));
    let own = match things {
        Things::Tool => &step.tools[..],
        Things::Supply => &step.supplies,
        Things::Spare => &step.spares,
        Things::Wear => &[],
    };
    let mut taken: Vec<(&Name, &str)> = own.iter().map(|name| (name, things.key())).collect();
    let works = [(step.work.as_ref(), "work"), (action.and_then(|action| action.work.as_ref()), "action")];
    match things {
        Things::Tool => {
            taken.extend(action.iter().flat_map(|action| &action.tools).map(|name| (name, "action")))
        }
        Things::Wear => {
            let works = works.into_iter().filter_map(|(work, key)| Some((machine.work.get(work?)?, key)));
            taken.extend(works.flat_map(|(work, key)| work.wear.iter().map(move |name| (name, key))));
        }
        Things::Supply | Things::Spare => {}
    }
    if let Some(Kind::Perform(name)) = step.kind()
        && let Some(performed) = writing.library.procedures.get(name)
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
fn taken<'a>(writing: &Writing<'a>, things: Things) -> BTreeMap<&'a Name, (String, &'a Name)> {
    let mut taken = BTreeMap::new();
    for one in &writing.steps {
        for (name, key) in of_step(writing, one, things) {
            taken.entry(name).or_insert_with(|| (one.key(key), &one.step.id));
        }
    }
    taken
}

pub(super) fn listed_and_unused(writing: &Writing<'_>, code: &'static str, things: Things) -> Vec<Found> {
    let taken = taken(writing, things);
    let key = things.key();
    let unused = listed(writing, things).iter().enumerate().filter(|(_, name)| !taken.contains_key(name));
    unused
        .map(|(index, name)| {
            writing
                .warning(
                    code,
                    &format!("/{key}/{index}"),
                    format!("`{name}` is listed under `{key}`, but no step takes it"),
                )
                .help("name it at the step that takes it, or take it off the list")
        })
        .collect()
}

pub(super) fn taken_and_unlisted(writing: &Writing<'_>, code: &'static str, things: Things) -> Vec<Found> {
    let listed = listed(writing, things);
    let key = things.key();
    let missing = taken(writing, things).into_iter().filter(|(name, _)| !listed.contains(name));
    missing
        .map(|(name, (at, step))| {
            writing
                .warning(code, &at, format!("step `{step}` takes `{name}`, which `{key}` does not list"))
                .help(format!("list `{name}` under `{key}`"))
        })
        .collect()
}
