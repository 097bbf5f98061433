//! Whether the equipment says in which state work may be stopped and left.

use crate::rule::{Finding, Pointer, Rule};
use crate::written::WrittenEquipment;

pub(super) const RULES: &[Rule] = &[rule!(
    "C20",
    Warning,
    "Something must never be, and nothing says how the machine may be left",
    Equipment(no_state_to_leave_in)
)];

fn no_state_to_leave_in(written: &WrittenEquipment<'_>) -> Vec<Finding<Pointer>> {
    let equipment = written.equipment;
    let mut rules = equipment.never.iter().filter(|(_, rule)| rule.released_by.is_none());
    let Some((rule, _)) = rules.next().filter(|_| equipment.safe_state.is_none()) else {
        return Vec::new();
    };
    let message = format!(
        "`{rule}` must never be, and nothing says in which state the machine may be left: nothing is proved of stops"
    );
    vec![Finding::at_key("/never".to_owned(), message).help(
        "add `safe_state`, with the conditions that have to be so, and acts with `restores: true` that lead there",
    )]
}
