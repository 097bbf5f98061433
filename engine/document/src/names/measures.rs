//! Measurements have limits that can be met, and waits have an end.

use super::declared::Thing;
use super::scope::Scope;
use crate::codes::{N17, N18};
use crate::diagnostic::Diagnostic;
use crate::figures::Case;
use crate::model::{Figure, Measure, Wait};
use crate::places::pointer;
use calc::quantity::Range;

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
        let mut limits = Vec::new();
        for (key, figure) in [("at_least", &measure.at_least), ("at_most", &measure.at_most)] {
            if let Some(figure) = figure {
                limits.push(self.figure(&format!("{at}/{key}"), figure, unit.dimension()));
            }
        }
        if let [Some(low), Some(high)] = &limits[..]
            && let Some(error) = crossed(low, high)
        {
            let place = self.at(&pointer(at, "at_most"));
            let finding = Diagnostic::error(N17, place, error)
                .note(self.at(&pointer(at, "at_least")), "the lower limit")
                .help("give the lower limit under `at_least`");
            self.tell(finding);
        }
    }

    /// A wait: a time, or something to wait for with a limit.
    pub(super) fn wait(&mut self, at: &str, wait: &Wait) {
        self.cube(at, "until", &wait.until);
        let time = |scope: &mut Self, key: &str, figure: &Option<Figure>| {
            figure.as_ref().and_then(|figure| scope.time_figure(&pointer(at, key), figure))
        };
        let (least, most) = (time(self, "for", &wait.time), time(self, "limit", &wait.limit));
        if let (Some(least), Some(most), false) = (least, most, wait.until.is_empty())
            && crossed(&least, &most).is_some()
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

/// The first pair of limits that belong to the same machine and are crossed.
fn crossed(low: &[Case], high: &[Case]) -> Option<String> {
    low.iter()
        .flat_map(|low| high.iter().map(move |high| (low, high)))
        .filter(|(low, high)| {
            low.variants
                .iter()
                .all(|(name, value)| high.variants.iter().all(|(other, its)| name != other || value == its))
        })
        .find_map(|(low, high)| Range::new(Some(low.quantity.clone()), Some(high.quantity.clone())).err())
        .map(|error| error.to_string())
}
