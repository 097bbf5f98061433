//! Hazards, their controls and their warnings.

pub(super) mod act_in_avoidance;
pub(super) mod certainty_differs;
pub(super) mod consequence_without_harm;
pub(super) mod damage_that_injures;
pub(super) mod death_differs;
pub(super) mod hazard_unused;
pub(super) mod no_control;
pub(super) mod warned_too_often;

use crate::writing::Ground;
use crate::writing::text::{Owner, Text};
use document::model::{Equipment, Hazard, Name};

/// The hazard whose text this is.
fn of<'a>(ground: &Ground<'a>, text: &Text<'_>) -> Option<&'a Hazard> {
    match text.owner {
        Owner::Hazard(name) => ground.equipment.model.hazards.get(name),
        _ => None,
    }
}

/// Hazards that a rule or a type of work has to do with.
fn controlled(machine: &Equipment) -> impl Iterator<Item = &Name> {
    let rules = machine.never.values().map(|rule| &rule.hazard);
    rules.chain(machine.work.values().filter_map(|work| work.hazard.as_ref()))
}
