//! E05: the isolation is not verified.

use super::steps::Control;
use crate::writing::{Found, Writing};

pub(crate) const CODE: &str = "E05";

pub(crate) fn findings(writing: &Writing<'_>) -> Vec<Found> {
    let controls = Control::all(writing).into_iter();
    let open = controls.filter_map(|control| {
        let locked = control.locked?;
        let end = control.unlocked.unwrap_or(control.steps.len());
        let verified = control
            .energy
            .isolated
            .iter()
            .all(|(name, values)| (locked..end).any(|at| control.looks(at, name, values)));
        (!verified).then_some((control, locked))
    });
    open.map(|(control, at)| {
        let message = format!("`{}` is locked, but nothing verifies that it is isolated", control.name);
        writing
            .warning(CODE, &format!("{}/id", control.steps[at].at), message)
            .help("add a `confirm` of it after the lock")
    })
    .collect()
}
