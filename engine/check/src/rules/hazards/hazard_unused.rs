//! H06: a hazard is declared and nothing names it.

use crate::writing::{Found, Ground};
use document::model::{Name, Step};
use document::pointer;
use std::collections::BTreeSet;

pub(crate) const CODE: &str = "H06";

pub(crate) fn findings(ground: &Ground<'_>) -> Vec<Found> {
    let machine = &ground.equipment.model;
    let mut used: BTreeSet<&Name> = super::controlled(machine).collect();
    let unruled = machine.hazards.keys().any(|name| !used.contains(name));
    if unruled {
        for procedure in
            ground.library.procedures.values().filter(|one| one.model.equipment == machine.equipment)
        {
            warned(&procedure.model.steps, &mut used);
        }
    }
    let unused = machine.hazards.keys().filter(|name| !used.contains(name));
    unused
        .map(|name| {
            ground
                .advice(CODE, &pointer("/hazards", name), format!("nothing names the hazard `{name}`"))
                .help("name it at a rule, a type of work or a step, or take it out")
        })
        .collect()
}

fn warned<'a>(steps: &'a [Step], used: &mut BTreeSet<&'a Name>) {
    for step in steps {
        used.extend(&step.warn);
        if let Some((_, inner)) = step.inner() {
            warned(inner, used);
        }
    }
}
