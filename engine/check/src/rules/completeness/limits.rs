//! Readings with their limits and their instrument, as far as they are plain figures.

use crate::writing::{StepAt, Writing};
use calc::quantity::Quantity;
use document::model::Name;

/// One `measure` step.
pub(super) struct Reading<'w, 'a> {
    pub(super) one: &'w StepAt<'a>,
    pub(super) instrument: &'a Name,
    /// The key of each limit, and the limit.
    pub(super) limits: Vec<(&'static str, Quantity)>,
    pub(super) resolution: Option<Quantity>,
    pub(super) uncertainty: Option<Quantity>,
}

pub(super) fn readings<'w, 'a>(writing: &'w Writing<'a>) -> Vec<Reading<'w, 'a>> {
    let measures = writing.steps.iter().filter_map(|one| {
        let measure = one.step.measure.as_ref()?;
        let instrument = writing.machine().instruments.get(&measure.instrument)?;
        let limits = [("measure/at_least", &measure.at_least), ("measure/at_most", &measure.at_most)];
        let limits = limits
            .into_iter()
            .filter_map(|(key, limit)| Some((key, Quantity::parse(&limit.as_ref()?.0).ok()?)));
        Some(Reading {
            one,
            instrument: &measure.instrument,
            limits: limits.collect(),
            resolution: Quantity::parse(&instrument.resolution).ok(),
            uncertainty: instrument.uncertainty.as_ref().and_then(|text| Quantity::parse(text).ok()),
        })
    });
    measures.collect()
}
