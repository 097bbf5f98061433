//! C12: a question decides nothing.

use crate::writing::{Found, Writing};
use document::model::Answer;

pub(crate) const CODE: &str = "C12";

pub(crate) fn findings(writing: &Writing<'_>) -> Vec<Found> {
    let idle = writing.steps.iter().filter(|one| {
        let Some(answers) = &one.step.answers else { return false };
        let mut targets = answers.values().map(Answer::target);
        let first = targets.next();
        let shows = answers.values().any(|answer| matches!(answer, Answer::Shows(_)));
        answers.len() > 1 && !shows && targets.all(|target| Some(target) == first)
    });
    idle.map(|one| {
        let message = format!("whatever is answered at step `{}`, the same follows", one.step.id);
        writing
            .warning(CODE, &one.key("answers"), message)
            .help("lead the answers to different steps, or make it a `note`")
    })
    .collect()
}
