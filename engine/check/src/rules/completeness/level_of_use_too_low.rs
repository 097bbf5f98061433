//! C10: work that can kill or maim is not used step by step.

use crate::writing::{Found, Writing};
use document::model::{LevelOfUse, Worst};

pub(crate) const CODE: &str = "C10";

pub(crate) fn findings(writing: &Writing<'_>) -> Vec<Found> {
    let machine = writing.machine();
    if writing.model().level_of_use == LevelOfUse::Continuous {
        return Vec::new();
    }
    let hazards = writing.steps.iter().flat_map(|one| {
        let work = one.step.work.as_ref().and_then(|work| machine.work.get(work)?.hazard.as_ref());
        one.step.warn.iter().chain(work)
    });
    let mut grave = hazards
        .filter(|name| machine.hazards.get(*name).is_some_and(|hazard| hazard.worst >= Worst::Serious));
    let Some(hazard) = grave.next() else { return Vec::new() };
    let message = format!("hazard `{hazard}` can end in serious injury, but the card need not be in hand");
    vec![writing.advice(CODE, "/level_of_use", message).help("make it `continuous`")]
}
