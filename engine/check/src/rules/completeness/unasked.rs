//! What grows old though nobody is asked about it.

use crate::rule::{Finding, Pointer, Rule};
use crate::written::WrittenEquipment;
use document::model::SeenBy;

pub(super) const RULES: &[Rule] = &[rule!(
    "C21",
    Warning,
    "`lapses` of a condition that nobody is asked about counts for nothing",
    Equipment(unasked)
)];

fn unasked(written: &WrittenEquipment<'_>) -> Vec<Finding<Pointer>> {
    let conditions = &written.equipment.conditions;
    let grows_old = conditions.iter().filter(|(_, condition)| condition.lapses.is_some());
    let unasked =
        grows_old.filter(|(_, condition)| condition.ask.is_none() || condition.seen_by() == SeenBy::Nobody);
    unasked
        .map(|(name, _)| {
            let message =
                format!("`{name}` lapses, and nobody is asked about it: it counts however old it is");
            Finding::at_key(format!("/conditions/{name}/lapses"), message).help(
                "give it an `ask`, or take `lapses` out and measure it, or wait for it, where it is needed",
            )
        })
        .collect()
}
