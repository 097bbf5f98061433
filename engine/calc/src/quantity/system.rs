//! Figures in the units that the readers of a card are used to.

use super::amount::Quantity;
use super::dimension::Dimension;
use super::duration::Duration;
use super::figure::Rounding;
use super::unit::Unit;

/// Which units a figure is shown in, beside the one in which it was written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum System {
    /// As it was written, and in no other.
    #[default]
    Source,
    /// In metric units too.
    Metric,
    /// In US customary units too.
    Us,
    /// In both.
    Both,
}

/// So many significant digits a figure keeps that is shown beside the one written.
const DIGITS: i32 = 3;

/// Pairs of a metric and a US customary unit for the same sizes. The first pair with a unit gives its counterpart.
const PAIRS: &[(&str, &str)] = &[
    ("mm", "in"),
    ("cm", "in"),
    ("µm", "mil"),
    ("m", "ft"),
    ("km", "mi"),
    ("m", "yd"),
    ("m²", "ft²"),
    ("mm²", "in²"),
    ("cm²", "in²"),
    ("ha", "acre"),
    ("L", "US gal"),
    ("L", "US qt"),
    ("mL", "US fl oz"),
    ("mL", "US pt"),
    ("mL", "US cup"),
    ("mL", "US tbsp"),
    ("mL", "US tsp"),
    ("m³", "US gal"),
    ("kg", "lb"),
    ("g", "oz av"),
    ("t", "US ton"),
    ("mL/L", "US fl oz/US gal"),
    ("L/min", "US gal/min"),
    ("L/h", "US gal/h"),
    ("m/s", "ft/s"),
    ("km/h", "mph"),
    ("L/ha", "US gal/acre"),
    ("mL/m²", "US fl oz/ft²"),
    ("N", "lbf"),
    ("N·m", "lbf·ft"),
    ("N·cm", "lbf·in"),
    ("cN·m", "lbf·in"),
    ("kPa", "psi"),
    ("bar", "psi"),
    ("MPa", "ksi"),
    ("°C", "°F"),
    ("Δ°C", "Δ°F"),
];

impl System {
    /// The figure as it was written, and in brackets in the other system if that is asked for: `10 psi (68.9 kPa)`. The
    /// figure written comes first and governs; the other is rounded to the nearest of three digits. A time of a minute
    /// and more stands in brackets as a timer shows it: `90 s (1 min 30 s)`; seconds of an hour and more give way to it.
    /// Other figures that both systems write alike, such as volts, stand alone.
    pub fn show(self, quantity: &Quantity) -> String {
        match self.beside(quantity) {
            // Nobody counts an hour and more in seconds.
            Some(timer) if quantity.unit().symbol() == "s" && quantity.value() >= 3600.0 => timer,
            Some(other) => format!("{quantity} ({other})"),
            None => quantity.to_string(),
        }
    }

    /// What [`System::show`] puts in brackets.
    pub fn beside(self, quantity: &Quantity) -> Option<String> {
        if quantity.dimension() == Dimension::Time {
            let timer = Duration::from_quantity(quantity).ok()?.to_string();
            return (timer != quantity.to_string()).then_some(timer);
        }
        Some(self.other(quantity)?.to_string())
    }

    fn other(self, quantity: &Quantity) -> Option<Quantity> {
        let symbol = quantity.unit().symbol();
        let to_us = PAIRS.iter().find(|(metric, _)| *metric == symbol).map(|(_, us)| *us);
        let to_metric = PAIRS.iter().find(|(_, us)| *us == symbol).map(|(metric, _)| *metric);
        let wanted = match self {
            System::Source => None,
            System::Metric => to_metric,
            System::Us => to_us,
            System::Both => to_us.or(to_metric),
        }?;
        let unit = Unit::parse(wanted).ok()?;
        let value = quantity.value_in(unit).ok()?;
        // A temperature is shown to a tenth: its digits count from an arbitrary zero.
        let decimals = if quantity.dimension() == Dimension::Temperature { 1 } else { decimals(value) };
        Some(Quantity::worked(value, unit, decimals, Rounding::Nearest).ok()?.trimmed())
    }
}

fn decimals(value: f64) -> u8 {
    let (mut size, mut decimals) = (value.abs(), DIGITS - 1);
    while size >= 10.0 && decimals > 0 {
        (size, decimals) = (size / 10.0, decimals - 1);
    }
    while size > 0.0 && size < 1.0 && decimals < 9 {
        (size, decimals) = (size * 10.0, decimals + 1);
    }
    decimals as u8
}

#[cfg(test)]
mod tests {
    use super::{PAIRS, System};
    use crate::quantity::{Quantity, Unit};

    #[test]
    fn the_figure_written_comes_first() {
        for (text, metric, us, both) in [
            ("2.5 L", "2.5 L", "2.5 L (0.66 US gal)", "2.5 L (0.66 US gal)"),
            ("0.5 US gal", "0.5 US gal (1.89 L)", "0.5 US gal", "0.5 US gal (1.89 L)"),
            ("1.2 N·m", "1.2 N·m", "1.2 N·m (0.885 lbf·ft)", "1.2 N·m (0.885 lbf·ft)"),
            ("72 °F", "72 °F (22.2 °C)", "72 °F", "72 °F (22.2 °C)"),
            ("10 Δ°C", "10 Δ°C", "10 Δ°C (18 Δ°F)", "10 Δ°C (18 Δ°F)"),
            ("10 psi", "10 psi (68.9 kPa)", "10 psi", "10 psi (68.9 kPa)"),
            ("1234 kg", "1234 kg", "1234 kg (2721 lb)", "1234 kg (2721 lb)"),
            ("45 s", "45 s", "45 s", "45 s"),
            ("30600 s", "8 h 30 min", "8 h 30 min", "8 h 30 min"),
            ("90 s", "90 s (1 min 30 s)", "90 s (1 min 30 s)", "90 s (1 min 30 s)"),
            ("24 V", "24 V", "24 V", "24 V"),
        ] {
            let quantity = Quantity::parse(text).unwrap();
            let alone = if ["90 s", "30600 s"].contains(&text) { metric } else { text };
            assert_eq!(System::Source.show(&quantity), alone);
            assert_eq!(System::Metric.show(&quantity), metric);
            assert_eq!(System::Us.show(&quantity), us);
            assert_eq!(System::Both.show(&quantity), both);
        }
    }

    #[test]
    fn pairs_are_of_one_dimension() {
        for (metric, us) in PAIRS {
            assert_eq!(Unit::parse(metric).unwrap().dimension(), Unit::parse(us).unwrap().dimension());
        }
    }
}
