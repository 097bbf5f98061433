//! Acceptance ranges, and what a reading says about them.

use super::amount::Quantity;
use super::dimension::Dimension;
use super::error::QuantityError;
use super::ratio::Ratio;
use super::system::System;
use std::cmp::Ordering;
use std::fmt;

/// What a reading says about a range.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Inside the limits even if the instrument is wrong by its whole uncertainty.
    Within,
    /// Beyond a limit.
    Outside,
    /// Inside a limit by less than the uncertainty: the reading does not prove that the limit is kept.
    TooCloseToTell,
}

/// Limits for a reading: at least one of a lower and an upper one, of one dimension, both included.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Range {
    at_least: Option<Quantity>,
    at_most: Option<Quantity>,
}

impl Range {
    /// Makes a range.
    ///
    /// # Errors
    /// [`QuantityError::NoLimits`] without any limit, [`QuantityError::Dimension`] when the two differ in
    /// dimension, [`QuantityError::LimitsCrossed`] when the lower one is above the upper one.
    pub fn new(at_least: Option<Quantity>, at_most: Option<Quantity>) -> Result<Range, QuantityError> {
        match (&at_least, &at_most) {
            (None, None) => return Err(QuantityError::NoLimits),
            (Some(low), Some(high)) if low.compare(high)? == Ordering::Greater => {
                return Err(QuantityError::LimitsCrossed {
                    at_least: low.to_string(),
                    at_most: high.to_string(),
                });
            }
            _ => {}
        }
        Ok(Range { at_least, at_most })
    }

    /// The lower limit.
    pub fn at_least(&self) -> Option<&Quantity> {
        self.at_least.as_ref()
    }

    /// The upper limit.
    pub fn at_most(&self) -> Option<&Quantity> {
        self.at_most.as_ref()
    }

    /// Judges a reading, given the expanded uncertainty U (k = 2) of the instrument that took it.
    ///
    /// The limits are moved inwards by U, so that a passed reading has at most a 2.5 % risk of being beyond the
    /// limit. Without an uncertainty the limits are taken as they are, with a risk of up to 50 % close to them.
    /// Source: ILAC-G8:09/2019, binary statement with guard band w = U (read). The part of a failed statement
    /// that lies inside the limits is told apart here, because the mend differs: measure better, not replace.
    ///
    /// The uncertainty of a temperature is a difference (`0.5 Δ°C`) or in kelvin.
    ///
    /// # Errors
    /// [`QuantityError::Dimension`] when dimensions differ, [`QuantityError::NegativeUncertainty`], and
    /// [`QuantityError::TooLong`] when the figures are too long to be subtracted exactly.
    pub fn judge(
        &self,
        reading: &Quantity,
        uncertainty: Option<&Quantity>,
    ) -> Result<Verdict, QuantityError> {
        let at = reading.base()?;
        let band = uncertainty.map(|uncertainty| self.band(uncertainty)).transpose()?;
        let mut verdict = Verdict::Within;
        for (limit, beyond) in [(&self.at_least, Ordering::Less), (&self.at_most, Ordering::Greater)] {
            let Some(limit) = limit else { continue };
            reading.expect_dimension(limit.dimension())?;
            let edge = limit.base()?;
            if at.cmp(&edge) == beyond {
                return Ok(Verdict::Outside);
            }
            let Some(band) = band else { continue };
            let guarded = guarded(limit, beyond, band)?;
            if at.cmp(&guarded) == beyond {
                verdict = Verdict::TooCloseToTell;
            }
        }
        Ok(verdict)
    }

    /// Whether there is any reading that [`Range::judge`] passes: the limits, each moved inwards by the uncertainty, leave
    /// room between them. Of what is never below zero no reading below zero counts.
    ///
    /// # Errors
    /// As [`Range::judge`].
    pub fn can_pass(&self, uncertainty: &Quantity) -> Result<bool, QuantityError> {
        let band = self.band(uncertainty)?;
        let mut least = None;
        if let Some(limit) = &self.at_least {
            least = Some(guarded(limit, Ordering::Less, band)?);
        }
        let Some(limit) = &self.at_most else { return Ok(true) };
        if limit.dimension().is_never_negative() {
            least = least.max(Ratio::new(0, 1));
        }
        let most = guarded(limit, Ordering::Greater, band)?;
        Ok(least.is_none_or(|least| least <= most))
    }

    fn band(&self, uncertainty: &Quantity) -> Result<Ratio, QuantityError> {
        let limit = self.at_least.as_ref().or(self.at_most.as_ref()).ok_or(QuantityError::NoLimits)?;
        let difference = match limit.dimension() {
            // Zero kelvin is no warmth at all, so a figure in kelvin also reads as a difference.
            Dimension::Temperature if uncertainty.unit().symbol() != "K" => Dimension::TemperatureDifference,
            other => other,
        };
        uncertainty.expect_dimension(difference)?;
        if uncertainty.value() < 0.0 {
            return Err(QuantityError::NegativeUncertainty { uncertainty: uncertainty.to_string() });
        }
        uncertainty.base()
    }
}

/// A limit moved inwards by the guard band; beyond a lower limit is less, beyond an upper one greater.
fn guarded(limit: &Quantity, beyond: Ordering, band: Ratio) -> Result<Ratio, QuantityError> {
    let edge = limit.base()?;
    let guarded = if beyond == Ordering::Less { edge.checked_add(band) } else { edge.checked_sub(band) };
    guarded.ok_or_else(|| QuantityError::TooLong { figure: limit.to_string() })
}

impl Range {
    /// The range in words, its limits also in the units asked for: `at most 10 psi (68.9 kPa)`.
    #[must_use]
    pub fn show(&self, system: System) -> String {
        let show = |limit: &Quantity| system.show(limit);
        match (&self.at_least, &self.at_most) {
            (Some(low), Some(high)) => format!("{} to {}", show(low), show(high)),
            (Some(low), None) => format!("at least {}", show(low)),
            (None, Some(high)) => format!("at most {}", show(high)),
            (None, None) => String::new(),
        }
    }
}

impl fmt::Display for Range {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.show(System::Source))
    }
}
