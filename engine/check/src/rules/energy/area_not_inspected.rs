//! E06: the area is not inspected before the lock comes off.

use super::steps::Control;
use crate::writing::{Found, Writing};

pub(crate) const CODE: &str = "E06";

pub(crate) fn findings(writing: &Writing<'_>) -> Vec<Found> {
    let controls = Control::all(writing).into_iter();
    let open = controls.filter_map(|control| {
        let (locked, unlocked) = (control.locked?, control.unlocked?);
        let inspected = (locked..unlocked).any(|at| control.inspects(at));
        (!inspected).then_some((control, unlocked))
    });
    open.map(|(control, at)| {
        let message = format!("the lock of `{}` comes off, and nobody has inspected the area", control.name);
        writing
            .warning(CODE, &format!("{}/id", control.steps[at].at), message)
            .help("ask before it: are tools gone, parts whole, people away?")
    })
    .collect()
}
