//! E03: energy is isolated and not locked.

use super::steps::Control;
use crate::writing::{Found, Writing};

pub(crate) const CODE: &str = "E03";

pub(crate) fn findings(writing: &Writing<'_>, controls: &[Control<'_, '_>]) -> Vec<Found> {
    let open = controls.iter().filter(|control| !control.energy.locked.is_empty()).filter_map(|control| {
        let locks = |step: &_| control.locks(step, true);
        Some((control, control.works_without(vec![control.isolated], &locks)?))
    });
    open.map(|(control, step)| {
        let message = format!("`{}` is isolated, but no step locks it", control.name);
        writing
            .warning(CODE, &step.key("id"), message)
            .help("add the step that puts the lock or tag on, with what it `leaves`")
    })
    .collect()
}
