//! E03: energy is isolated and not locked.

use super::steps::Control;
use crate::writing::{Found, Writing};

pub(crate) const CODE: &str = "E03";

pub(crate) fn findings(writing: &Writing<'_>) -> Vec<Found> {
    let controls = Control::all(writing).into_iter();
    let open = controls.filter_map(|control| {
        let at = control.isolated;
        control.locked.is_none().then_some((control, at))
    });
    open.map(|(control, at)| {
        let message = format!("`{}` is isolated, but no step locks it", control.name);
        writing
            .warning(CODE, &format!("{}/id", control.steps[at].at), message)
            .help("add the step that puts the lock or tag on, with what it `leaves`")
    })
    .collect()
}
