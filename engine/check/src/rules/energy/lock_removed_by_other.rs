//! E08: a lock is taken off by another role than put it on.

use super::steps::Control;
use crate::writing::{Found, Writing};

pub(crate) const CODE: &str = "E08";

pub(crate) fn findings(writing: &Writing<'_>) -> Vec<Found> {
    let controls = Control::all(writing).into_iter();
    let open = controls.filter_map(|control| {
        let (locked, unlocked) = (control.locked?, control.unlocked?);
        let by = |at: usize| control.steps[at].step.by.as_ref().or(writing.model().performers.keys().next());
        (by(locked) != by(unlocked)).then_some((control, unlocked))
    });
    open.map(|(control, at)| {
        let message = format!("the lock of `{}` is taken off by another role than put it on", control.name);
        writing
            .warning(CODE, &format!("{}/id", control.steps[at].at), message)
            .help("let the same role do both steps")
    })
    .collect()
}
