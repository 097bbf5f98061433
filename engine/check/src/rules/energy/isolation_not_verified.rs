//! E05: the isolation is not verified.

use super::steps::Control;
use crate::writing::{Found, Writing};

pub(crate) const CODE: &str = "E05";

pub(crate) fn findings(writing: &Writing<'_>, controls: &[Control<'_, '_>]) -> Vec<Found> {
    let open = controls.iter().filter_map(|control| {
        let from = if control.energy.locked.is_empty() { vec![control.isolated] } else { control.locked() };
        let open = |(name, values): (&_, &_)| {
            control.works_without(from.clone(), &|step: &_| control.looks(step, name, values))
        };
        Some((control, control.energy.isolated.iter().find_map(open)?))
    });
    open.map(|(control, step)| {
        let message = format!("work begins, and nothing verifies that `{}` is isolated", control.name);
        writing.warning(CODE, &step.key("id"), message).help("add a `confirm` of it after the lock")
    })
    .collect()
}
