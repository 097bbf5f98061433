//! E07: nobody is told before energy comes back.

use super::steps::Control;
use crate::writing::{Found, Writing};

pub(crate) const CODE: &str = "E07";

pub(crate) fn findings(writing: &Writing<'_>, controls: &[Control<'_, '_>]) -> Vec<Found> {
    let open = controls.iter().flat_map(|control| {
        let told = |step: &_| control.tells(step);
        control.revived(&told).into_iter().map(move |step| (control, step))
    });
    open.map(|(control, step)| {
        let message = format!("nobody is told before `{}` comes back", control.name);
        writing
            .warning(CODE, &step.key("id"), message)
            .help("add a step: \"Tell everyone at the machine that it starts.\"")
    })
    .collect()
}
