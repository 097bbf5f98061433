//! Instruments, and the limits of what they measure.

use crate::rule::{Finding, Pointer, Rule};
use crate::written::{StepAt, WrittenEquipment, WrittenProcedure};
use calc::quantity::Quantity;
use document::model::{Kind, Name};
use document::pointer;

pub(super) const RULES: &[Rule] = &[
    rule!("C14", Warning, "A limit is finer than the instrument shows", Step(limit_finer_than_instrument)),
    rule!("C15", Advice, "An instrument is too coarse for the range", Step(instrument_too_coarse)),
    rule!("C16", Advice, "An instrument has no uncertainty", Equipment(no_uncertainty)),
];

fn limit_finer_than_instrument(one: &StepAt<'_>, written: &WrittenProcedure<'_>) -> Vec<Finding<Pointer>> {
    let Some(reading) = Reading::at(one, written) else { return Vec::new() };
    let mut findings = Vec::new();
    for (key, limit) in &reading.limits {
        let Some(step) = reading.resolution.filter(|step| step.unit() == limit.unit()) else {
            continue;
        };
        let steps = limit.value() / step.value();
        if (steps - steps.round()).abs() > 1e-6 {
            let message =
                format!("the limit {limit} is finer than the {step} that `{}` shows", reading.instrument);
            findings.push(
                Finding::at_key(one.key(key), message)
                    .help("set the limit to a value that the instrument can show"),
            );
        }
    }
    findings
}

fn instrument_too_coarse(one: &StepAt<'_>, written: &WrittenProcedure<'_>) -> Vec<Finding<Pointer>> {
    let Some(Reading { instrument, limits, uncertainty: Some(uncertainty), .. }) = Reading::at(one, written)
    else {
        return Vec::new();
    };
    let [(_, least), (_, most)] = &limits[..] else { return Vec::new() };
    let (Ok(least), Ok(most)) = (least.value_in(uncertainty.unit()), most.value_in(uncertainty.unit()))
    else {
        return Vec::new();
    };
    if uncertainty.value() <= (most - least) / 8.0 + 1e-9 {
        return Vec::new();
    }
    let message =
        format!("`{instrument}` is uncertain by {uncertainty}, more than a quarter of half the range");
    vec![
        Finding::at_key(one.key("measure/instrument"), message)
            .help("name a finer instrument, or widen the range"),
    ]
}

fn no_uncertainty(written: &WrittenEquipment<'_>) -> Vec<Finding<Pointer>> {
    let instruments = written.equipment.instruments.iter();
    let bare = instruments.filter(|(_, instrument)| instrument.uncertainty.is_none());
    bare.map(|(name, _)| {
        Finding::at_key(pointer("/instruments", name), format!("instrument `{name}` has no `uncertainty`"))
            .help("add it, from its certificate")
    })
    .collect()
}

/// A `measure` step with its limits and its instrument, as far as they are plain figures.
struct Reading<'a> {
    instrument: &'a Name,
    /// The key of each limit, and the limit.
    limits: Vec<(&'static str, &'a Quantity)>,
    resolution: Option<&'a Quantity>,
    uncertainty: Option<&'a Quantity>,
}

impl<'a> Reading<'a> {
    fn at(one: &StepAt<'a>, written: &WrittenProcedure<'a>) -> Option<Self> {
        let Kind::Measure(measure) = &one.step.kind else { return None };
        let instrument = written.equipment.instruments.get(&measure.instrument)?;
        let limits = [("measure/at_least", &measure.at_least), ("measure/at_most", &measure.at_most)];
        let limits = limits.into_iter().filter_map(|(key, limit)| Some((key, limit.as_ref()?.plain()?)));
        Some(Self {
            instrument: &measure.instrument,
            limits: limits.collect(),
            resolution: instrument.resolution.read().ok(),
            uncertainty: instrument.uncertainty.as_ref().and_then(|stated| stated.read().ok()),
        })
    }
}
