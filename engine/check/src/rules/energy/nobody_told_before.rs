//! E02: nobody is told before energy is isolated.

use super::steps::Control;
use crate::writing::{Found, Writing};

pub(crate) const CODE: &str = "E02";

pub(crate) fn findings(writing: &Writing<'_>) -> Vec<Found> {
    let controls = Control::all(writing).into_iter();
    let open = controls.filter_map(|control| {
        let told = (0..control.isolated).any(|at| control.tells(at));
        (!told).then(|| {
            let at = control.isolated;
            (control, at)
        })
    });
    open.map(|(control, at)| {
        let message = format!("nobody is told before `{}` is isolated", control.name);
        writing
            .warning(CODE, &format!("{}/id", control.steps[at].at), message)
            .help("add a step: \"Tell everyone at the machine that it stops.\"")
    })
    .collect()
}
