//! E04: stored energy is not let out.

use super::steps::Control;
use crate::writing::{Found, Writing};

pub(crate) const CODE: &str = "E04";

pub(crate) fn findings(writing: &Writing<'_>) -> Vec<Found> {
    let controls = Control::all(writing).into_iter();
    let open = controls.filter_map(|control| {
        let stored = control.energy.stored.iter();
        let open = stored.filter(|(name, values)| {
            !(control.isolated..control.steps.len())
                .any(|at| control.makes(at, name, values) || control.looks(at, name, values))
        });
        let open = open.count() > 0;
        let at = control.isolated;
        open.then_some((control, at))
    });
    open.map(|(control, at)| {
        let message = format!("what `{}` leaves stored is not let out", control.name);
        writing
            .warning(CODE, &format!("{}/id", control.steps[at].at), message)
            .help("add a step that leaves it so, or confirms it")
    })
    .collect()
}
