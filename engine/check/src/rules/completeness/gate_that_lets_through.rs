//! C13: a gate lets everything through.

use crate::writing::{Found, Writing};

pub(crate) const CODE: &str = "C13";

pub(crate) fn findings(writing: &Writing<'_>) -> Vec<Found> {
    let open = writing.steps.iter().filter(|one| {
        let follows = one.step.then.as_ref().map(|then| &then.0).or(one.next);
        one.step.otherwise.as_ref().is_some_and(|otherwise| Some(&otherwise.0) == follows)
    });
    open.map(|one| {
        let message = format!("step `{}` leads to the same step whether it holds or not", one.step.id);
        writing
            .warning(CODE, &one.key("otherwise"), message)
            .help("lead `otherwise` to another step, or to `stop`")
    })
    .collect()
}
