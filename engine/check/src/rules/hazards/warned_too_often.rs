//! H08: the same hazard is warned of too often.

use crate::writing::{Found, Writing};
use std::collections::BTreeMap;

pub(crate) const CODE: &str = "H08";

pub(crate) fn findings(writing: &Writing<'_>) -> Vec<Found> {
    let mut times = BTreeMap::new();
    let mut findings = Vec::new();
    for one in &writing.steps {
        for name in &one.step.warn {
            let count = times.entry(name).or_insert(0);
            *count += 1;
            if *count == 4 {
                let message = format!("step `{}` is the fourth that warns of `{name}`", one.step.id);
                findings.push(
                    writing
                        .advice(CODE, &one.key("warn"), message)
                        .help("warn before the first, and again after a long way"),
                );
            }
        }
    }
    findings
}
