//! C15: an instrument is too coarse for the range.

use super::limits;
use crate::writing::{Found, Writing};

pub(crate) const CODE: &str = "C15";

pub(crate) fn findings(writing: &Writing<'_>) -> Vec<Found> {
    let mut findings = Vec::new();
    for reading in limits::readings(writing) {
        let [(_, least), (_, most)] = &reading.limits[..] else { continue };
        let Some(uncertainty) = &reading.uncertainty else { continue };
        let (Ok(least), Ok(most)) = (least.value_in(uncertainty.unit()), most.value_in(uncertainty.unit()))
        else {
            continue;
        };
        if uncertainty.value() > (most - least) / 8.0 + 1e-9 {
            let message = format!(
                "`{}` is uncertain by {uncertainty}, more than a quarter of half the range",
                reading.instrument
            );
            findings.push(
                writing
                    .advice(CODE, &reading.one.key("measure/instrument"), message)
                    .help("name a finer instrument, or widen the range"),
            );
        }
    }
    findings
}
