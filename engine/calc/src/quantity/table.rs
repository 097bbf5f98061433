//! The one table of units.
//!
//! Factors are exact ratios: NIST SP 811 (2008) appendix B.8 for the customary units (2nd hand, recomputed), the
//! SI brochure's prefixes for the rest. The base of a dimension is the SI unit; angles count in degrees, so that
//! no factor is irrational. Upper and lower case differ, because mΩ and MΩ do.

use super::dimension::Dimension::{self, *};

/// A row: `base = (figure + offset) × numerator / denominator`.
#[derive(Debug)]
pub(crate) struct Row {
    pub(crate) symbol: &'static str,
    pub(crate) spellings: &'static [&'static str],
    pub(crate) dimension: Dimension,
    pub(crate) numerator: i128,
    pub(crate) denominator: i128,
    /// In hundredths of the unit; only temperatures have one.
    pub(crate) offset_hundredths: i128,
}

const fn row(
    symbol: &'static str,
    spellings: &'static [&'static str],
    dimension: Dimension,
    numerator: i128,
    denominator: i128,
) -> Row {
    Row { symbol, spellings, dimension, numerator, denominator, offset_hundredths: 0 }
}

const fn shifted(mut row: Row, offset_hundredths: i128) -> Row {
    row.offset_hundredths = offset_hundredths;
    row
}

/// A plain number. It has no spelling, so text without a unit never becomes one by accident.
pub(crate) static NUMBER: Row = row("", &[], Count, 1, 1);

pub(crate) static ROWS: &[Row] = &[
    // The first spelling of a count is its singular.
    row("times", &["time"], Count, 1, 1),
    row("tablets", &["tablet"], Count, 1, 1),
    row("pieces", &["piece", "pcs"], Count, 1, 1),
    row("people", &["person"], Count, 1, 1),
    row("%", &["percent", "per cent"], Fraction, 1, 100),
    row("ppm", &[], Fraction, 1, 1_000_000),
    row("s", &["sec", "secs", "second", "seconds"], Time, 1, 1),
    row("ms", &["millisecond", "milliseconds"], Time, 1, 1000),
    row("min", &["mins", "minute", "minutes"], Time, 60, 1),
    row("h", &["hr", "hrs", "hour", "hours"], Time, 3600, 1),
    row("d", &["day", "days"], Time, 86_400, 1),
    row("Hz", &["/s", "1/s"], Frequency, 1, 1),
    row("kHz", &[], Frequency, 1000, 1),
    row("/min", &["1/min", "lifts/min", "rpm", "r/min"], Frequency, 1, 60),
    row("/h", &["1/h"], Frequency, 1, 3600),
    row("m", &["metre", "metres", "meter", "meters"], Length, 1, 1),
    row("mm", &["millimetre", "millimetres", "millimeter", "millimeters"], Length, 1, 1000),
    row("cm", &["centimetre", "centimetres", "centimeter", "centimeters"], Length, 1, 100),
    row("km", &["kilometre", "kilometres"], Length, 1000, 1),
    row("µm", &["um", "micrometre", "micrometres"], Length, 1, 1_000_000),
    row("in", &["inch", "inches"], Length, 127, 5000),
    row("ft", &["foot", "feet"], Length, 381, 1250),
    row("mil", &["mils"], Length, 127, 5_000_000),
    row("m²", &["m2", "m^2"], Area, 1, 1),
    row("cm²", &["cm2", "cm^2"], Area, 1, 10_000),
    row("mm²", &["mm2", "mm^2"], Area, 1, 1_000_000),
    row("ha", &["hectare", "hectares"], Area, 10_000, 1),
    row("ft²", &["ft2", "ft^2", "sq ft"], Area, 145_161, 1_562_500),
    row("acre", &["acres"], Area, 40_468_564_224, 10_000_000),
    row("L", &["l", "litre", "litres", "liter", "liters"], Volume, 1, 1000),
    row("mL", &["ml", "millilitre", "millilitres", "milliliter", "milliliters"], Volume, 1, 1_000_000),
    row("m³", &["m3", "m^3"], Volume, 1, 1),
    row("US gal", &["US gallon", "US gallons"], Volume, 3_785_411_784, 1_000_000_000_000),
    row("US qt", &["US quart", "US quarts"], Volume, 946_352_946, 1_000_000_000_000),
    row("US pt", &["US pint", "US pints"], Volume, 473_176_473, 1_000_000_000_000),
    row("US cup", &["US cups"], Volume, 2_365_882_365, 10_000_000_000_000),
    row("US fl oz", &[], Volume, 295_735_295_625, 10_000_000_000_000_000),
    row("US tbsp", &[], Volume, 1_478_676_478_125, 100_000_000_000_000_000),
    row("US tsp", &[], Volume, 492_892_159_375, 100_000_000_000_000_000),
    row("imp gal", &["imp gallon", "imp gallons", "UK gal"], Volume, 454_609, 100_000_000),
    row("imp fl oz", &["UK fl oz"], Volume, 454_609, 16_000_000_000),
    row("kg", &["kilogram", "kilograms"], Mass, 1, 1),
    row("g", &["gram", "grams"], Mass, 1, 1000),
    row("mg", &["milligram", "milligrams"], Mass, 1, 1_000_000),
    row("µg", &["ug"], Mass, 1, 1_000_000_000),
    row("t", &["tonne", "tonnes"], Mass, 1000, 1),
    row("lb", &["lbs", "pound", "pounds"], Mass, 45_359_237, 100_000_000),
    row("oz av", &["oz avdp", "avoirdupois oz"], Mass, 45_359_237, 1_600_000_000),
    row("US ton", &["short ton", "short tons"], Mass, 90_718_474, 100_000),
    row("imp ton", &["long ton", "long tons"], Mass, 10_160_469_088, 10_000_000),
    row("kg/m³", &["kg/m3", "kg/m^3"], MassConcentration, 1, 1),
    row("g/L", &["g/l"], MassConcentration, 1, 1),
    row("mg/L", &["mg/l"], MassConcentration, 1, 1000),
    row("µg/L", &["ug/L", "µg/l", "ug/l"], MassConcentration, 1, 1_000_000),
    row("L/min", &["l/min", "lpm"], Flow, 1, 60_000),
    row("mL/min", &["ml/min"], Flow, 1, 60_000_000),
    row("L/s", &["l/s"], Flow, 1, 1000),
    row("L/h", &["l/h"], Flow, 1, 3_600_000),
    row("m³/h", &["m3/h", "m^3/h"], Flow, 1, 3600),
    row("US gal/min", &["US gpm"], Flow, 3_785_411_784, 60_000_000_000_000),
    row("imp gal/min", &["imp gpm"], Flow, 454_609, 6_000_000_000),
    row("m/s", &[], Speed, 1, 1),
    row("m/min", &[], Speed, 1, 60),
    row("km/h", &["kph"], Speed, 5, 18),
    row("mph", &["mi/h"], Speed, 44_704, 100_000),
    row("ft/s", &[], Speed, 381, 1250),
    row("mL/m²", &["ml/m2", "mL/m2", "mL/m^2"], Application, 1, 1_000_000),
    row("L/ha", &["l/ha"], Application, 1, 10_000_000),
    row("N", &["newton", "newtons"], Force, 1, 1),
    row("kN", &[], Force, 1000, 1),
    row("lbf", &[], Force, 44_482_216_152_605, 10_000_000_000_000),
    row("N·m", &["N m", "Nm"], Torque, 1, 1),
    row("N·cm", &["N cm", "Ncm"], Torque, 1, 100),
    row("cN·m", &["cN m", "cNm"], Torque, 1, 100),
    row(
        "lbf·ft",
        &["lbf ft", "ft·lbf", "ft lbf", "lb·ft", "ft·lb"],
        Torque,
        13_558_179_483_314_004,
        10_000_000_000_000_000,
    ),
    row(
        "lbf·in",
        &["lbf in", "in·lbf", "in lbf", "lb·in", "in·lb"],
        Torque,
        1_129_848_290_276_167,
        10_000_000_000_000_000,
    ),
    row("Pa", &[], Pressure, 1, 1),
    row("kPa", &[], Pressure, 1000, 1),
    row("MPa", &[], Pressure, 1_000_000, 1),
    row("bar", &[], Pressure, 100_000, 1),
    row("mbar", &["hPa"], Pressure, 100, 1),
    row("psi", &["lbf/in²", "lbf/in2"], Pressure, 8_896_443_230_521, 1_290_320_000),
    row("atm", &[], Pressure, 101_325, 1),
    row("J", &[], Energy, 1, 1),
    row("mJ", &[], Energy, 1, 1000),
    row("kJ", &[], Energy, 1000, 1),
    row("Wh", &["W·h", "W h"], Energy, 3600, 1),
    row("kWh", &["kW·h", "kW h"], Energy, 3_600_000, 1),
    row("W", &["watt", "watts"], Power, 1, 1),
    row("mW", &[], Power, 1, 1000),
    row("kW", &[], Power, 1000, 1),
    row("K", &["kelvin"], Temperature, 1, 1),
    shifted(row("°C", &["degC", "deg C", "° C"], Temperature, 1, 1), 27_315),
    shifted(row("°F", &["degF", "deg F", "° F"], Temperature, 5, 9), 45_967),
    row("ΔK", &["delta K", "K difference"], TemperatureDifference, 1, 1),
    row("Δ°C", &["delta °C", "°C difference"], TemperatureDifference, 1, 1),
    row("Δ°F", &["delta °F", "°F difference"], TemperatureDifference, 5, 9),
    row("V", &["volt", "volts"], Voltage, 1, 1),
    row("mV", &[], Voltage, 1, 1000),
    row("kV", &[], Voltage, 1000, 1),
    row("A", &["amp", "amps", "ampere", "amperes"], Current, 1, 1),
    row("mA", &[], Current, 1, 1000),
    row("µA", &["uA"], Current, 1, 1_000_000),
    row("Ah", &["A·h", "A h"], Charge, 3600, 1),
    row("mAh", &["mA·h", "mA h"], Charge, 18, 5),
    row("ohm", &["Ω", "ohms", "Ohm"], Resistance, 1, 1),
    row("mohm", &["mΩ", "mOhm", "milliohm", "milliohms"], Resistance, 1, 1000),
    row("kohm", &["kΩ", "kOhm", "kilohm", "kilohms"], Resistance, 1000, 1),
    row("Mohm", &["MΩ", "MOhm", "megohm", "megohms"], Resistance, 1_000_000, 1),
    row("Gohm", &["GΩ", "GOhm", "gigohm", "gigohms"], Resistance, 1_000_000_000, 1),
    row("µF", &["uF"], Capacitance, 1, 1_000_000),
    row("nF", &[], Capacitance, 1, 1_000_000_000),
    row("pF", &[], Capacitance, 1, 1_000_000_000_000),
    row("°", &["deg", "degree", "degrees"], Angle, 1, 1),
];

/// Words that mean different things to different readers, with what to write instead.
pub(crate) static AMBIGUOUS: &[(&[&str], &[&str])] = &[
    (&["gal", "gallon", "gallons"], &["US gal", "imp gal"]),
    (&["oz", "ounce", "ounces"], &["oz av", "US fl oz", "imp fl oz"]),
    (&["fl oz"], &["US fl oz", "imp fl oz"]),
    (&["ton", "tons"], &["t", "US ton", "imp ton"]),
    (&["qt", "quart", "quarts"], &["US qt", "L"]),
    (&["pt", "pint", "pints"], &["US pt", "mL"]),
    (&["cup", "cups"], &["US cup", "mL"]),
    (&["tbsp"], &["US tbsp", "mL"]),
    (&["tsp"], &["US tsp", "mL"]),
    (&["gpm", "gal/min"], &["US gal/min", "imp gal/min"]),
    (&["C"], &["°C", "Ah"]),
    (&["F"], &["°F", "µF"]),
];
