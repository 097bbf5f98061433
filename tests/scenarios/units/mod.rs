//! The units library pint, a general-purpose one, converts as we do.

use calc::quantity::{Dimension, Quantity, Rounding, Unit};
use oracle::Random;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};

/// Every unit of ours but the counts, as pint calls it. Its acre is one of the US survey foot, ours the international
/// one of NIST SP 811.
const NAMES: &[(&str, &str)] = &[
    ("%", "percent"),
    ("ppm", "ppm"),
    ("mL/L", "milliliter/liter"),
    ("US fl oz/US gal", "fluid_ounce/gallon"),
    ("US tbsp/US gal", "tablespoon/gallon"),
    ("US tsp/US qt", "teaspoon/quart"),
    ("s", "second"),
    ("ms", "millisecond"),
    ("min", "minute"),
    ("h", "hour"),
    ("d", "day"),
    ("Hz", "1/second"),
    ("kHz", "1000/second"),
    ("/min", "1/minute"),
    ("/h", "1/hour"),
    ("m", "meter"),
    ("mm", "millimeter"),
    ("cm", "centimeter"),
    ("km", "kilometer"),
    ("µm", "micrometer"),
    ("in", "inch"),
    ("ft", "foot"),
    ("yd", "yard"),
    ("mi", "mile"),
    ("mil", "thou"),
    ("m²", "meter**2"),
    ("cm²", "centimeter**2"),
    ("mm²", "millimeter**2"),
    ("ha", "hectare"),
    ("in²", "inch**2"),
    ("ft²", "foot**2"),
    ("acre", "43560*foot**2"),
    ("L", "liter"),
    ("mL", "milliliter"),
    ("m³", "meter**3"),
    ("US gal", "gallon"),
    ("US qt", "quart"),
    ("US pt", "pint"),
    ("US cup", "cup"),
    ("US fl oz", "fluid_ounce"),
    ("US tbsp", "tablespoon"),
    ("US tsp", "teaspoon"),
    ("imp gal", "imperial_gallon"),
    ("imp fl oz", "imperial_fluid_ounce"),
    ("kg", "kilogram"),
    ("g", "gram"),
    ("mg", "milligram"),
    ("µg", "microgram"),
    ("t", "metric_ton"),
    ("lb", "pound"),
    ("oz av", "ounce"),
    ("US ton", "short_ton"),
    ("imp ton", "long_ton"),
    ("kg/m³", "kilogram/meter**3"),
    ("g/L", "gram/liter"),
    ("mg/L", "milligram/liter"),
    ("µg/L", "microgram/liter"),
    ("L/min", "liter/minute"),
    ("mL/min", "milliliter/minute"),
    ("L/s", "liter/second"),
    ("L/h", "liter/hour"),
    ("m³/h", "meter**3/hour"),
    ("US gal/min", "gallon/minute"),
    ("US gal/h", "gallon/hour"),
    ("imp gal/min", "imperial_gallon/minute"),
    ("m/s", "meter/second"),
    ("m/min", "meter/minute"),
    ("km/h", "kilometer/hour"),
    ("mph", "mile/hour"),
    ("ft/s", "foot/second"),
    ("mL/m²", "milliliter/meter**2"),
    ("L/ha", "liter/hectare"),
    ("US gal/acre", "gallon/(43560*foot**2)"),
    ("US fl oz/ft²", "fluid_ounce/foot**2"),
    ("N", "newton"),
    ("kN", "kilonewton"),
    ("lbf", "pound_force"),
    ("N·m", "newton*meter"),
    ("N·cm", "newton*centimeter"),
    ("cN·m", "centinewton*meter"),
    ("lbf·ft", "pound_force*foot"),
    ("lbf·in", "pound_force*inch"),
    ("Pa", "pascal"),
    ("kPa", "kilopascal"),
    ("MPa", "megapascal"),
    ("bar", "bar"),
    ("mbar", "millibar"),
    ("psi", "psi"),
    ("ksi", "ksi"),
    ("atm", "atmosphere"),
    ("J", "joule"),
    ("mJ", "millijoule"),
    ("kJ", "kilojoule"),
    ("Wh", "watt*hour"),
    ("kWh", "kilowatt*hour"),
    ("W", "watt"),
    ("mW", "milliwatt"),
    ("kW", "kilowatt"),
    ("K", "kelvin"),
    ("°C", "degC"),
    ("°F", "degF"),
    ("ΔK", "delta_degC"),
    ("Δ°C", "delta_degC"),
    ("Δ°F", "delta_degF"),
    ("V", "volt"),
    ("mV", "millivolt"),
    ("kV", "kilovolt"),
    ("A", "ampere"),
    ("mA", "milliampere"),
    ("µA", "microampere"),
    ("Ah", "ampere*hour"),
    ("mAh", "milliampere*hour"),
    ("mC", "millicoulomb"),
    ("µC", "microcoulomb"),
    ("nC", "nanocoulomb"),
    ("ohm", "ohm"),
    ("mohm", "milliohm"),
    ("kohm", "kiloohm"),
    ("Mohm", "megaohm"),
    ("Gohm", "gigaohm"),
    ("mF", "millifarad"),
    ("µF", "microfarad"),
    ("nF", "nanofarad"),
    ("pF", "picofarad"),
    ("°", "degree"),
];

fn pint_name(unit: Unit) -> &'static str {
    let found = NAMES.iter().find(|(ours, _)| *ours == unit.symbol());
    found.unwrap_or_else(|| panic!("how does pint call `{unit}`? add it to the table")).1
}

/// A thousand conversions of random figures between random units of one dimension.
#[test]
fn a_thousand_conversions_agree_with_pint() {
    let units: Vec<Unit> = Unit::all().filter(|unit| unit.dimension() != Dimension::Count).collect();
    let mut random = Random::new(811);
    let mut cases = Vec::new();
    while cases.len() < 1000 {
        // Every unit comes first or second in at least some of them.
        let from = units[cases.len() % units.len()];
        let others: Vec<Unit> =
            units.iter().copied().filter(|unit| unit.dimension() == from.dimension()).collect();
        let into = *random.pick(&others);
        let digits = (random.next() % 2_000_000) as f64 - if random.percent(20) { 1_000_000.0 } else { 0.0 };
        let decimals = random.below(5) as u8;
        let value = digits / [1.0, 10.0, 100.0, 1000.0, 10_000.0][usize::from(decimals)];
        let quantity = Quantity::worked(value, from, decimals, Rounding::Nearest).expect("a short figure");
        cases.push((quantity, into));
    }
    let asked: String = cases
        .iter()
        .map(|(quantity, into)| {
            format!("{}\t{}\t{}\n", quantity.value(), pint_name(quantity.unit()), pint_name(*into))
        })
        .collect();
    let answers = pint(&asked);
    assert_eq!(answers.len(), cases.len());
    for ((quantity, into), theirs) in cases.iter().zip(answers) {
        let ours = quantity.value_in(*into).expect("one dimension");
        // pint reckons in floating point; a temperature near its zero has lost digits to the offset.
        let slack = if quantity.dimension() == Dimension::Temperature { 1e-9 } else { 0.0 };
        let off = (ours - theirs).abs();
        assert!(off <= 1e-12 * ours.abs() + slack, "{quantity} is {ours} {into}; pint says {theirs}");
    }
}

fn pint(asked: &str) -> Vec<f64> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let python = root.join("target/outside/python/bin/python");
    assert!(python.exists(), "{} is not there; `tests/run` installs it", python.display());
    let mut child = Command::new(python)
        .arg(root.join("tests/scenarios/units/convert.py"))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("python starts");
    let mut stdin = child.stdin.take().expect("a pipe");
    stdin.write_all(asked.as_bytes()).expect("python reads");
    drop(stdin);
    let output = child.wait_with_output().expect("python ends");
    assert!(output.status.success(), "python failed");
    let text = String::from_utf8(output.stdout).expect("figures");
    text.lines().map(|line| line.parse().expect("a figure")).collect()
}
