//! Worked figures on the steps and digits that people can set and read.

use super::error::MethodError;
use super::given::Given;
use super::input::{Input, Lowest};
use crate::quantity::{Duration, Quantity, Rounding, Unit};

/// The step of a time, for every method that tells how long to wait.
pub(crate) const STEP_OF_TIME: Input =
    Input::in_unit("round_up", "step to which the time is rounded up", "s", Lowest::At(1.0), 3600.0)
        .or("1 s");

/// No wait is longer than this: a longer one is a slip in a figure, not a procedure.
pub(crate) const HOURS_MOST: f64 = 48.0;

/// A time rounded up to a whole number of the steps in `round_up`. However little it is, it takes a step.
pub(crate) fn waited(given: &Given, seconds: f64) -> Result<Quantity, MethodError> {
    if seconds > HOURS_MOST * 3600.0 {
        return Err(given.refuse(format!("the time would be over {HOURS_MOST} h; look at the figures")));
    }
    let step = Duration::from_quantity(given.quantity("round_up")?)?;
    // Counted in whole steps, so that the result is an exact multiple.
    let steps = Rounding::Up.whole(seconds * 1000.0 / step.as_millis() as f64).max(1.0);
    Ok(Duration::from_millis(steps as u64 * step.as_millis()).to_quantity()?)
}

/// A value rounded to a whole number of steps, both in this unit.
pub(crate) fn stepped(
    value: f64,
    step: f64,
    unit: Unit,
    rounding: Rounding,
) -> Result<Quantity, MethodError> {
    let on_step = rounding.whole(value / step) * step;
    Ok(Quantity::worked(on_step, unit, 6, Rounding::Nearest)?.trimmed())
}

/// A value rounded to so many significant digits; digits before the point are never dropped.
pub(crate) fn digits(value: f64, count: u8, unit: Unit, rounding: Rounding) -> Result<Quantity, MethodError> {
    Ok(Quantity::worked(value, unit, decimals(value, count), rounding)?)
}

/// So many decimals give a value so many significant digits.
fn decimals(value: f64, count: u8) -> u8 {
    let mut decimals = count.saturating_sub(1);
    let mut size = value.abs();
    while size >= 10.0 && decimals > 0 {
        size /= 10.0;
        decimals -= 1;
    }
    while size < 1.0 && size > 0.0 && decimals < 12 {
        size *= 10.0;
        decimals += 1;
    }
    decimals
}

#[cfg(test)]
mod tests {
    use super::{digits, stepped};
    use crate::quantity::{Rounding, Unit};

    #[test]
    fn digits_are_significant() {
        for (value, shown) in
            [(123.456, "123"), (12.3456, "12.3"), (0.012_345, "0.0123"), (1234.5, "1235"), (0.0, "0.00")]
        {
            assert_eq!(digits(value, 3, Unit::NUMBER, Rounding::Nearest).unwrap().to_string(), shown);
        }
    }

    #[test]
    fn steps_are_exact() {
        assert_eq!(stepped(0.3, 0.1, Unit::NUMBER, Rounding::Up).unwrap().to_string(), "0.3");
        assert_eq!(stepped(0.31, 0.1, Unit::NUMBER, Rounding::Up).unwrap().to_string(), "0.4");
        assert_eq!(stepped(0.39, 0.1, Unit::NUMBER, Rounding::Down).unwrap().to_string(), "0.3");
    }
}
