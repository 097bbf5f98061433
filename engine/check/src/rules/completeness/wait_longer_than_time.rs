//! C08: a wait is longer than the whole procedure.

use crate::writing::{Found, Writing};
use calc::quantity::Duration;

pub(crate) const CODE: &str = "C08";

pub(crate) fn findings(writing: &Writing<'_>) -> Vec<Found> {
    let Ok(whole) = Duration::parse(&writing.model().time) else { return Vec::new() };
    let waits = writing.steps.iter().filter_map(|one| {
        let time = Duration::parse(&one.step.wait.as_ref()?.time.as_ref()?.0).ok()?;
        (time.as_millis() > whole.as_millis()).then_some(one)
    });
    waits
        .map(|one| {
            let message = format!(
                "step `{}` waits longer than the {} of the procedure",
                one.step.id,
                writing.model().time
            );
            writing
                .warning(CODE, &one.key("wait"), message)
                .help("state the time that the whole work takes under `time`")
        })
        .collect()
}
