//! Measurements have limits that can be met, and waits have an end.

use super::declared::Thing;
use super::figures::Passing;
use super::scope::Scope;
use crate::codes::{N17, N18, N22};
use crate::diagnostic::Diagnostic;
use crate::figures::Case;
use crate::model::{Figure, Instrument, Measure, Wait};
use crate::places::pointer;
use calc::quantity::{QuantityError, Range};

impl Scope<'_> {
    /// A measurement: its instrument is there, and its limits are of what the instrument shows.
    pub(super) fn measure(&mut self, at: &str, measure: &Measure) {
        self.cube(at, "shows", &measure.shows);
        self.declared(at, "instrument", &measure.instrument, Thing::Instrument);
        if measure.at_least.is_none() && measure.at_most.is_none() {
            self.tell(
                Diagnostic::error(N17, self.at_key(at), "a measurement needs a limit, and this one has none")
                    .help("add `at_least:` or `at_most:`, or both"),
            );
        }
        let Some(instrument) = self.equipment.model.instruments.get(&measure.instrument) else { return };
        // An unknown unit is told at the instrument.
        let Ok(unit) = instrument.unit.read() else { return };
        let mut limit = |key: &str, figure: &Option<Figure>| match figure {
            Some(figure) => self.figure(&format!("{at}/{key}"), figure, unit.dimension()).map(Some),
            None => Some(None),
        };
        let (low, high) = (limit("at_least", &measure.at_least), limit("at_most", &measure.at_most));
        let (Some(low), Some(high)) = (low, high) else { return };
        let ranges = ranges(low.as_deref(), high.as_deref());
        if let Some(error) = ranges.iter().find_map(|range| range.as_ref().err()) {
            if low.is_some() && high.is_some() {
                let place = self.at(&pointer(at, "at_most"));
                let finding = Diagnostic::error(N17, place, error.to_string())
                    .note(self.at(&pointer(at, "at_least")), "the lower limit")
                    .help("give the lower limit under `at_least`");
                self.tell(finding);
            }
            return;
        }
        self.passable(at, measure, instrument, ranges.into_iter().flatten());
    }

    /// Some reading passes: one that is inside the limits by more than the instrument may be wrong.
    fn passable(
        &mut self,
        at: &str,
        measure: &Measure,
        instrument: &Instrument,
        mut ranges: impl Iterator<Item = Range>,
    ) {
        // An uncertainty that cannot be read, or is of another dimension, is told at the instrument.
        let uncertainty = instrument.uncertainty.as_ref().and_then(|stated| stated.read().ok());
        let Some(uncertainty) = uncertainty else { return };
        let Some(range) = ranges.find(|range| range.can_pass(uncertainty) == Ok(false)) else { return };
        let limit = if measure.at_most.is_some() { "at_most" } else { "at_least" };
        let message = format!(
            "no reading can pass: `{}` may be wrong by {uncertainty}, and no reading is that far inside {range}",
            measure.instrument
        );
        let declared = pointer(&pointer("/instruments", &measure.instrument), "uncertainty");
        let finding = Diagnostic::error(N22, self.at(&pointer(at, limit)), message)
            .note(self.equipment.place(&declared), "how wrong a reading may be")
            .help(
                "name a finer instrument, or give limits that lie further apart than twice its uncertainty",
            );
        self.tell(finding);
    }

    /// A wait: a time, or something to wait for with a limit.
    pub(super) fn wait(&mut self, at: &str, wait: &Wait) {
        self.cube(at, "until", &wait.until);
        let time = |scope: &mut Self, key: &str, figure: &Option<Figure>, time: Passing| {
            figure.as_ref().and_then(|figure| scope.time_figure(&pointer(at, key), figure, time))
        };
        let least = time(self, "for", &wait.time, Passing::Wait);
        let most = time(self, "limit", &wait.limit, Passing::Limit);
        if let (Some(least), Some(most), false) = (least, most, wait.until.is_empty())
            && ranges(Some(&least), Some(&most)).iter().any(Result::is_err)
        {
            let finding = Diagnostic::error(
                N18,
                self.at(&pointer(at, "limit")),
                "`limit` is shorter than the time under `for`, so the wait would end before it has begun",
            )
            .note(self.at(&pointer(at, "for")), "the time that surely passes")
            .help("`limit` counts from the beginning of the wait: give a longer one");
            self.tell(finding);
        }
        let (place, message, help) = match (&wait.time, wait.until.is_empty(), &wait.limit) {
            (Some(_) | None, false, None) => (
                self.at_key(&format!("{at}/until")),
                "a wait until something is so needs a limit, or it may never end",
                "add `limit:` with the longest time to wait",
            ),
            (Some(_) | None, true, Some(_)) => (
                self.at_key(&format!("{at}/limit")),
                "`limit` has no meaning without `until`",
                "write the time under `for`, or add `until:`",
            ),
            (None, true, None) => (
                self.at_key(at),
                "this waits for nothing",
                "add `for:` with a time, or `until:` with conditions and `limit:`",
            ),
            (Some(_), true, None) | (Some(_) | None, false, Some(_)) => return,
        };
        self.tell(Diagnostic::error(N18, place, message).help(help));
    }
}

/// The ranges of the machines that there are: each pair of limits that belong to the same one.
fn ranges(low: Option<&[Case]>, high: Option<&[Case]>) -> Vec<Result<Range, QuantityError>> {
    let quantity = |case: &Case| Some(case.quantity.clone());
    match (low, high) {
        (Some(low), Some(high)) => low
            .iter()
            .flat_map(|low| high.iter().map(move |high| (low, high)))
            .filter(|(low, high)| {
                low.variants.iter().all(|(name, value)| {
                    high.variants.iter().all(|(other, its)| name != other || value == its)
                })
            })
            .map(|(low, high)| Range::new(quantity(low), quantity(high)))
            .collect(),
        (Some(low), None) => low.iter().map(|low| Range::new(quantity(low), None)).collect(),
        (None, Some(high)) => high.iter().map(|high| Range::new(None, quantity(high))).collect(),
        (None, None) => Vec::new(),
    }
}
