//! What kind of thing a unit measures.

use std::fmt;

/// What a quantity measures. Quantities are compared and converted only within one dimension.
///
/// [`Temperature`](Dimension::Temperature) and
/// [`TemperatureDifference`](Dimension::TemperatureDifference) are apart, because 10 °C is 50 °F while a rise
/// of 10 °C is a rise of 18 °F. Torque is apart from energy for the reader's sake.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each name says all there is to say")]
pub enum Dimension {
    Count,
    Fraction,
    VolumeRatio,
    Time,
    Frequency,
    Length,
    Area,
    Volume,
    Mass,
    MassConcentration,
    Flow,
    Speed,
    Application,
    Force,
    Torque,
    Pressure,
    Energy,
    Power,
    Temperature,
    TemperatureDifference,
    Voltage,
    Current,
    Charge,
    Resistance,
    Capacitance,
    Angle,
}

impl Dimension {
    /// Whether nothing of this kind is ever below zero, whatever an instrument counts from. A height, a pressure or a
    /// voltage has a zero of its own choosing, and what flows or turns has two ways to do it.
    #[must_use]
    pub fn is_never_negative(self) -> bool {
        match self {
            Dimension::Count
            | Dimension::VolumeRatio
            | Dimension::Time
            | Dimension::Frequency
            | Dimension::Area
            | Dimension::Volume
            | Dimension::Mass
            | Dimension::MassConcentration
            | Dimension::Application
            | Dimension::Resistance
            | Dimension::Capacitance => true,
            Dimension::Fraction
            | Dimension::Length
            | Dimension::Flow
            | Dimension::Speed
            | Dimension::Force
            | Dimension::Torque
            | Dimension::Pressure
            | Dimension::Energy
            | Dimension::Power
            | Dimension::Temperature
            | Dimension::TemperatureDifference
            | Dimension::Voltage
            | Dimension::Current
            | Dimension::Charge
            | Dimension::Angle => false,
        }
    }
}

impl fmt::Display for Dimension {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Dimension::Count => "count",
            Dimension::Fraction => "fraction",
            Dimension::VolumeRatio => "volume per volume",
            Dimension::Time => "time",
            Dimension::Frequency => "frequency",
            Dimension::Length => "length",
            Dimension::Area => "area",
            Dimension::Volume => "volume",
            Dimension::Mass => "mass",
            Dimension::MassConcentration => "mass concentration",
            Dimension::Flow => "flow",
            Dimension::Speed => "speed",
            Dimension::Application => "volume per area",
            Dimension::Force => "force",
            Dimension::Torque => "torque",
            Dimension::Pressure => "pressure",
            Dimension::Energy => "energy",
            Dimension::Power => "power",
            Dimension::Temperature => "temperature",
            Dimension::TemperatureDifference => "temperature difference",
            Dimension::Voltage => "voltage",
            Dimension::Current => "current",
            Dimension::Charge => "charge",
            Dimension::Resistance => "resistance",
            Dimension::Capacitance => "capacitance",
            Dimension::Angle => "angle",
        })
    }
}
