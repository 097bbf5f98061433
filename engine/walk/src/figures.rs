//! The figures of the present step, for this machine.

use crate::state::Walk;
use calc::quantity::{Quantity, Range};
use document::model::{Figure, Instrument, Measure, Stated};

impl Walk {
    pub(crate) fn instrument(&self, measure: &Measure) -> Option<&Instrument> {
        self.equipment()?.instruments.get(&measure.instrument)
    }

    /// A figure of the present step, for the variants of this machine.
    pub(crate) fn figure(&self, figure: &Figure) -> Result<Option<Quantity>, String> {
        let (Some(equipment), Some(document)) = (self.equipment(), self.document()) else {
            return Err("its documents are missing".to_owned());
        };
        let cases = document::figure_cases(equipment, Some(&document.model), figure);
        let cases = cases.map_err(|error| error.to_string())?;
        let layout = &self.machine.layout;
        let fits = |(variant, value): &(document::model::Name, String)| {
            let Some(var) = layout.find(variant) else { return false };
            layout.bit(var, value) == Some(self.field(var))
        };
        let case = cases.into_iter().find(|case| case.variants.iter().all(fits));
        Ok(case.map(|case| case.quantity))
    }

    /// The range of a reading and the uncertainty of its instrument.
    pub(crate) fn acceptance(&self, measure: &Measure) -> Result<(Range, Option<Quantity>), String> {
        let limit = |figure: &Option<Figure>| -> Result<Option<Quantity>, String> {
            figure.as_ref().map_or(Ok(None), |figure| self.figure(figure))
        };
        let range = Range::new(limit(&measure.at_least)?, limit(&measure.at_most)?);
        let uncertainty = self.instrument(measure).and_then(|instrument| instrument.uncertainty.as_ref());
        let uncertainty = uncertainty.map(Stated::read).transpose().map_err(ToString::to_string)?;
        Ok((range.map_err(|error| error.to_string())?, uncertainty.cloned()))
    }
}
