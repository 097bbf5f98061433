//! E06: the area is not inspected before the lock comes off.

use super::steps::Control;
use crate::writing::{Found, Writing};

pub(crate) const CODE: &str = "E06";

pub(crate) fn findings(writing: &Writing<'_>, controls: &[Control<'_, '_>]) -> Vec<Found> {
    let open = controls.iter().flat_map(|control| {
        let inspects = |step: &_| control.inspects(step);
        control.unlocked(&inspects).into_iter().map(move |(_, off)| (control, off))
    });
    open.map(|(control, step)| {
        let message = format!("the lock of `{}` comes off, and nobody has inspected the area", control.name);
        writing
            .warning(CODE, &step.key("id"), message)
            .help("ask before it: are tools gone, parts whole, people away?")
    })
    .collect()
}
