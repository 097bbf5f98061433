//! E07: nobody is told before energy comes back.

use super::steps::Control;
use crate::writing::{Found, Writing};

pub(crate) const CODE: &str = "E07";

pub(crate) fn findings(writing: &Writing<'_>) -> Vec<Found> {
    let controls = Control::all(writing).into_iter();
    let open = controls.filter_map(|control| {
        let (unlocked, live) = (control.unlocked?, control.live?);
        let told = (unlocked..live).any(|at| control.tells(at));
        (!told).then_some((control, live))
    });
    open.map(|(control, at)| {
        let message = format!("nobody is told before `{}` comes back", control.name);
        writing
            .warning(CODE, &format!("{}/id", control.steps[at].at), message)
            .help("add a step: \"Tell everyone at the machine that it starts.\"")
    })
    .collect()
}
