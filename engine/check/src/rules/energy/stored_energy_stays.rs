//! E04: stored energy is not let out.

use super::steps::Control;
use crate::writing::{Found, Writing};

pub(crate) const CODE: &str = "E04";

pub(crate) fn findings(writing: &Writing<'_>, controls: &[Control<'_, '_>]) -> Vec<Found> {
    let open = controls.iter().filter_map(|control| {
        let stays = |(name, values): (&_, &_)| {
            let let_out = |step: &_| control.makes(step, name, values) || control.looks(step, name, values);
            control.works_without(vec![control.isolated], &let_out).is_some()
        };
        control.energy.stored.iter().any(stays).then_some((control, control.isolated))
    });
    open.map(|(control, step)| {
        let message = format!("what `{}` leaves stored is not let out", control.name);
        writing.warning(CODE, &step.key("id"), message).help("add a step that leaves it so, or confirms it")
    })
    .collect()
}
