//! E02: nobody is told before energy is isolated.

use super::steps::Control;
use crate::writing::{Found, Writing};

pub(crate) const CODE: &str = "E02";

pub(crate) fn findings(writing: &Writing<'_>, controls: &[Control<'_, '_>]) -> Vec<Found> {
    let open = controls.iter().filter_map(|control| {
        let told = |step: &_| control.tells(step);
        control.is_reached_without(control.isolated, &told).then_some((control, control.isolated))
    });
    open.map(|(control, step)| {
        let message = format!("nobody is told before `{}` is isolated", control.name);
        writing
            .warning(CODE, &step.key("id"), message)
            .help("add a step: \"Tell everyone at the machine that it stops.\"")
    })
    .collect()
}
