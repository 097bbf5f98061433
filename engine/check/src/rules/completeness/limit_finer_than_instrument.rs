//! C14: a limit is finer than the instrument shows.

use super::limits;
use crate::writing::{Found, Writing};

pub(crate) const CODE: &str = "C14";

pub(crate) fn findings(writing: &Writing<'_>) -> Vec<Found> {
    let mut findings = Vec::new();
    for reading in limits::readings(writing) {
        for (key, limit) in &reading.limits {
            let Some(step) = reading.resolution.as_ref().filter(|step| step.unit() == limit.unit()) else {
                continue;
            };
            let steps = limit.value() / step.value();
            if (steps - steps.round()).abs() > 1e-6 {
                let message =
                    format!("the limit {limit} is finer than the {step} that `{}` shows", reading.instrument);
                findings.push(
                    writing
                        .warning(CODE, &reading.one.key(key), message)
                        .help("set the limit to a value that the instrument can show"),
                );
            }
        }
    }
    findings
}
