//! E08: a lock is taken off by another role than put it on.

use super::steps::Control;
use crate::writing::{Found, StepAt, Writing};

pub(crate) const CODE: &str = "E08";

pub(crate) fn findings(writing: &Writing<'_>, controls: &[Control<'_, '_>]) -> Vec<Found> {
    let open = controls.iter().flat_map(|control| {
        let by =
            |step: &StepAt<'_>| step.step.by.clone().or(writing.model().performers.keys().next().cloned());
        let pairs = control.unlocked(&|_| false).into_iter();
        pairs.filter(move |(on, off)| by(on) != by(off)).map(move |(_, off)| (control, off))
    });
    open.map(|(control, step)| {
        let message = format!("the lock of `{}` is taken off by another role than put it on", control.name);
        writing.warning(CODE, &step.key("id"), message).help("let the same role do both steps")
    })
    .collect()
}
