//! H07: a hazard has no control.

use crate::writing::{Found, Ground};
use document::model::{Name, Step};
use document::pointer;
use std::collections::BTreeSet;

pub(crate) const CODE: &str = "H07";

pub(crate) fn findings(ground: &Ground<'_>) -> Vec<Found> {
    let machine = &ground.equipment.model;
    let controlled: BTreeSet<&Name> = super::controlled(machine).collect();
    let open: BTreeSet<&Name> = machine.hazards.keys().filter(|name| !controlled.contains(name)).collect();
    if open.is_empty() {
        return Vec::new();
    }
    let procedures =
        ground.library.procedures.values().filter(|one| one.model.equipment == machine.equipment);
    let warned: BTreeSet<&Name> = procedures.flat_map(|one| warned(&one.model.steps)).collect();
    let bare = open.into_iter().filter(|name| warned.contains(name));
    bare.map(|name| {
        ground
            .advice(
                CODE,
                &pointer("/hazards", name),
                format!("steps warn of `{name}`, and nothing controls it"),
            )
            .help("state a rule under `never`, or a type of work with what it `requires` or what to `wear`")
    })
    .collect()
}

fn warned(steps: &[Step]) -> Vec<&Name> {
    let of = |step| -> Vec<&Name> {
        let step: &Step = step;
        step.warn.iter().chain(step.inner().map(|(_, inner)| warned(inner)).unwrap_or_default()).collect()
    };
    steps.iter().flat_map(of).collect()
}
