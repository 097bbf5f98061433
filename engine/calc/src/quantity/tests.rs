//! Reading, converting and judging figures.

use super::{Dimension, Quantity, QuantityError, Range, Rounding, Unit, Verdict};
use std::cmp::Ordering;

fn quantity(text: &str) -> Quantity {
    Quantity::parse(text).unwrap_or_else(|error| panic!("{text}: {error}"))
}

fn unit(text: &str) -> Unit {
    Unit::parse(text).unwrap()
}

fn fault(text: &str) -> QuantityError {
    Quantity::parse(text).unwrap_err()
}

#[test]
fn reads_what_the_trade_writes() {
    for (text, value, symbol, dimension) in [
        ("45 s", 45.0, "s", Dimension::Time),
        ("8 min", 8.0, "min", Dimension::Time),
        ("9 h", 9.0, "h", Dimension::Time),
        ("2.5 L", 2.5, "L", Dimension::Volume),
        ("900 mΩ", 900.0, "mohm", Dimension::Resistance),
        ("900 mohm", 900.0, "mohm", Dimension::Resistance),
        ("2 ohm", 2.0, "ohm", Dimension::Resistance),
        ("1 Mohm", 1.0, "Mohm", Dimension::Resistance),
        ("1.2 N·m", 1.2, "N·m", Dimension::Torque),
        ("1.2 N m", 1.2, "N·m", Dimension::Torque),
        ("1.2Nm", 1.2, "N·m", Dimension::Torque),
        ("0.30 L/min", 0.3, "L/min", Dimension::Flow),
        ("41 kg", 41.0, "kg", Dimension::Mass),
        ("72 °F", 72.0, "°F", Dimension::Temperature),
        ("\u{2212}5 °C", -5.0, "°C", Dimension::Temperature),
        ("24 V", 24.0, "V", Dimension::Voltage),
        ("500 mg/L", 500.0, "mg/L", Dimension::MassConcentration),
        ("4 %", 4.0, "%", Dimension::Fraction),
        ("0.5 US gal", 0.5, "US gal", Dimension::Volume),
        ("10 psi", 10.0, "psi", Dimension::Pressure),
        ("15 lbf·ft", 15.0, "lbf·ft", Dimension::Torque),
    ] {
        let read = quantity(text);
        assert!((read.value() - value).abs() < 1e-12, "{text}");
        assert_eq!((read.unit().symbol(), read.dimension()), (symbol, dimension), "{text}");
    }
}

#[test]
fn shows_the_digits_that_were_written() {
    assert_eq!(quantity("3.00 mm").to_string(), "3.00 mm");
    assert_eq!(quantity("3.00 mm").decimals(), 2);
    assert_eq!(quantity("18mm").to_string(), "18 mm");
    assert_eq!(quantity("90 deg").to_string(), "90°");
    assert_eq!(Quantity::number("3").unwrap().to_string(), "3");
}

#[test]
fn what_is_shown_is_read_back_the_same() {
    let mut seed = 1_u64;
    for _ in 0..2000 {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let units: Vec<Unit> = Unit::all().collect();
        let unit = units[(seed >> 33) as usize % units.len()];
        let decimals = (seed >> 20) as u8 % 4;
        let first =
            Quantity::worked((seed >> 40) as f64 / 1000.0, unit, decimals, Rounding::Nearest).unwrap();
        assert_eq!(quantity(&first.to_string()), first);
    }
}

/// Whatever is typed, it is a quantity that reads back the same or an error with words.
#[test]
fn no_text_is_too_odd_to_answer() {
    let letters: Vec<char> = "0123459..--−,eE ·/%°ΔµΩmLNagls²\u{a0}\u{2126}\u{0}".chars().collect();
    let mut seed = 5_u64;
    let mut read = 0;
    for _ in 0..20_000 {
        let mut text = String::new();
        for _ in 0..(seed >> 60) {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            text.push(letters[(seed >> 33) as usize % letters.len()]);
        }
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
        match Quantity::parse(&text) {
            Ok(first) => {
                read += 1;
                assert_eq!(quantity(&first.to_string()), first, "{text:?}");
            }
            Err(error) => assert!(!error.to_string().is_empty(), "{text:?}"),
        }
    }
    assert!(read > 50, "only {read} texts were quantities: the sample proves little");
}

#[test]
fn words_with_two_meanings_are_read_by_the_rule_and_told() {
    for (text, shown) in [
        ("0.5 gal", "0.5 US gal"),
        ("4 oz", "4 oz av"),
        ("2 ton", "2 US ton"),
        ("2oz/gal", "2 US fl oz/US gal"),
    ] {
        assert_eq!(quantity(text).to_string(), shown);
        assert!(Quantity::how_read(text).unwrap().contains("is read as"), "{text}");
    }
    assert_eq!(
        Quantity::how_read("0.5 gal").unwrap(),
        "`gal` is read as `US gal`; write that, or `imp gal` for another unit"
    );
    assert_eq!(Quantity::how_read("0.5 US gal"), None);
    assert!(quantity("4 oz").compare(&quantity("4 fl oz")).is_err(), "a weight is no volume");
}

#[test]
fn refuses_what_a_reader_could_mistake() {
    assert_eq!(fault(" "), QuantityError::Empty);
    assert_eq!(fault("45"), QuantityError::NoUnit { figure: "45".into() });
    for text in ["NaN mm", "inf s", "mm", ".4 mm", "4. mm", "1e3 mm", "1e-3 m", "+5 mm", "1.2.3 mm", "- 5 mm"]
    {
        assert_eq!(fault(text), QuantityError::NoFigure { text: text.into() }, "{text}");
    }
    assert_eq!(fault("2,5 L"), QuantityError::Comma { text: "2,5 L".into() });
    assert_eq!(fault("0.1234567890123 m"), QuantityError::TooLong { figure: "0.1234567890123".into() });
    assert_eq!(fault("1234567890123456 m"), QuantityError::TooLong { figure: "1234567890123456".into() });
    assert_eq!(fault("5 KG"), QuantityError::UnknownUnit { unit: "KG".into(), nearest: Some("kg") });
    assert_eq!(
        fault("5 minuets"),
        QuantityError::UnknownUnit { unit: "minuets".into(), nearest: Some("minutes") }
    );
    assert_eq!(fault("5 parsnips"), QuantityError::UnknownUnit { unit: "parsnips".into(), nearest: None });
    for word in ["C", "F"] {
        assert!(matches!(fault(&format!("1 {word}")), QuantityError::Ambiguous { .. }), "{word}");
    }
    assert_eq!(fault("1 F").to_string(), "`F` can mean more than one unit; write `°F` or `µF`");
    assert!(Quantity::number("3 mm").is_err());
    assert!(Quantity::number("").is_err());
}

/// NIST SP 811 (2008) appendix B.8; values 2nd hand, recomputed. Tolerance 1e-12, psi 1e-9.
pub(crate) static SP_811: &[(&str, &str, f64, f64)] = &[
    ("1 in", "mm", 25.4, 1e-12),
    ("1 ft", "m", 0.3048, 1e-12),
    ("1 mil", "µm", 25.4, 1e-12),
    ("1 US gal", "L", 3.785_411_784, 1e-12),
    ("1 US qt", "L", 0.946_352_946, 1e-12),
    ("1 US pt", "L", 0.473_176_473, 1e-12),
    ("1 US fl oz", "mL", 29.573_529_562_5, 1e-12),
    ("1 US tbsp", "mL", 14.786_764_781_25, 1e-12),
    ("1 US tsp", "mL", 4.928_921_593_75, 1e-12),
    ("1 US cup", "mL", 236.588_236_5, 1e-12),
    ("1 imp gal", "L", 4.546_09, 1e-12),
    ("1 lb", "kg", 0.453_592_37, 1e-12),
    ("1 lbf", "N", 4.448_221_615_260_5, 1e-12),
    ("1 psi", "Pa", 6_894.757_293_168_36, 1e-9),
    ("1 bar", "Pa", 100_000.0, 1e-12),
    ("1 atm", "Pa", 101_325.0, 1e-12),
    ("1 mph", "m/s", 0.447_04, 1e-12),
    ("1 ft/s", "m/s", 0.3048, 1e-12),
    ("1 acre", "m²", 4_046.856_422_4, 1e-12),
    ("1 acre", "ft²", 43_560.0, 1e-12),
    ("32 °F", "K", 273.15, 1e-12),
    ("212 °F", "K", 373.15, 1e-12),
    ("0 °F", "K", 255.372_222_222_222_2, 1e-12),
    ("72 °F", "°C", 22.222_222_222_222_2, 1e-12),
    // SP 811 prints seven digits of these (memory).
    ("1 lbf·ft", "N·m", 1.355_818, 1e-6),
    ("1 lbf·in", "N·m", 0.112_984_8, 1e-6),
];

#[test]
fn factors_are_those_of_sp_811() {
    for (text, into, value, tolerance) in SP_811 {
        let got = quantity(text).value_in(unit(into)).unwrap();
        assert!((got / value - 1.0).abs() < *tolerance, "{text} is {got} {into}, not {value}");
    }
}

/// Relations that hold by definition, so that no factor of the table goes unchecked for a slipped zero.
#[test]
fn customary_units_fit_each_other() {
    for (one, other) in [
        ("1 US gal", "4 US qt"),
        ("1 US gal", "128 US fl oz"),
        ("1 US fl oz/US gal", "7.8125 mL/L"),
        ("2 US tbsp/US gal", "1 US fl oz/US gal"),
        ("192 US tsp/US qt", "1000 mL/L"),
        ("128 US fl oz/ft²", "43560 US gal/acre"),
        ("60 US gal/h", "1 US gal/min"),
        ("1 yd", "3 ft"),
        ("1 mi", "1760 yd"),
        ("1 ft²", "144 in²"),
        ("1 ksi", "1000 psi"),
        ("1 Ah", "3600000 mC"),
        ("1 mC", "1000 µC"),
        ("1 µC", "1000 nC"),
        ("1 mF", "1000 µF"),
        ("1 US qt", "2 US pt"),
        ("1 US pt", "2 US cup"),
        ("1 US cup", "16 US tbsp"),
        ("1 US tbsp", "3 US tsp"),
        ("1 US gal/min", "3.785411784 L/min"),
        ("1 imp gal", "160 imp fl oz"),
        ("1 imp gal/min", "4.54609 L/min"),
        ("1 ft", "12 in"),
        ("1 in", "1000 mil"),
        ("1 lb", "16 oz av"),
        ("1 US ton", "2000 lb"),
        ("1 imp ton", "2240 lb"),
        ("1 lbf·ft", "12 lbf·in"),
        ("1 ha", "10000 m²"),
        ("1 ft²", "0.09290304 m²"),
        ("1 L/min", "0.06 m³/h"),
        ("1 L/s", "60 L/min"),
        ("6 L/h", "100 mL/min"),
        ("60 km/h", "1000 m/min"),
        ("1 L/ha", "0.1 mL/m²"),
        ("1 kWh", "3600 kJ"),
        ("1 Ah", "1000 mAh"),
        ("1 Hz", "60 /min"),
        ("1 /min", "60 /h"),
        ("1 %", "10000 ppm"),
        ("1 g/L", "1000 mg/L"),
        ("1 kg/m³", "1000000 µg/L"),
        ("1 bar", "1000 mbar"),
        ("1 t", "1000 kg"),
        ("1 N·m", "100 N·cm"),
        ("9 Δ°F", "5 Δ°C"),
        ("50 °F", "10 °C"),
    ] {
        assert_eq!(
            quantity(one).compare(&quantity(other)).unwrap(),
            Ordering::Equal,
            "{one} against {other}"
        );
    }
}

#[test]
fn comparison_is_exact_across_units() {
    assert_eq!(quantity("1.5 cm").compare(&quantity("15 mm")).unwrap(), Ordering::Equal);
    assert_eq!(quantity("0.3 L/min").compare(&quantity("300 mL/min")).unwrap(), Ordering::Equal);
    assert_eq!(quantity("900 mohm").compare(&quantity("2 ohm")).unwrap(), Ordering::Less);
    assert_eq!(quantity("25.4 mm").compare(&quantity("1 in")).unwrap(), Ordering::Equal);
    assert_eq!(quantity("25.4000000001 mm").compare(&quantity("1 in")).unwrap(), Ordering::Greater);
    assert!(quantity("3 mm").compare(&quantity("3 s")).is_err());
    assert!(quantity("10 °C").compare(&quantity("10 Δ°C")).is_err());
}

#[test]
fn converts_there_and_back() {
    for (text, into, there) in [
        ("2.5 L", "mL", 2_500.0),
        ("9 h", "min", 540.0),
        ("1 in", "mm", 25.4),
        ("72 °F", "°C", 200.0 / 9.0),
        ("10 Δ°C", "Δ°F", 18.0),
        ("3.00 mm", "mm", 3.0),
        ("0 °C", "°F", 32.0),
        ("-40 °C", "°F", -40.0),
    ] {
        let value = quantity(text).value_in(unit(into)).unwrap();
        assert!((value - there).abs() < 1e-12 * there.abs(), "{text} in {into}: {value}");
    }
    for here in Unit::all() {
        let there = Unit::all().filter(|there| there.dimension() == here.dimension());
        for there in there {
            let start = Quantity::worked(12.345, here, 3, Rounding::Nearest).unwrap();
            let through = start.value_in(there).unwrap();
            let scale = Quantity::worked(through, there, 12, Rounding::Nearest);
            // Only where twelve decimals can hold the figure does the way back prove anything.
            if let Ok(middle) = scale.as_ref()
                && through.abs() > 1e-3
            {
                let back = middle.value_in(here).unwrap();
                assert!((back - 12.345).abs() < 1e-6, "{here} by {there}: {back}");
            }
        }
    }
}

fn range(low: &str, high: &str) -> Range {
    let limit = |text: &str| (!text.is_empty()).then(|| quantity(text));
    Range::new(limit(low), limit(high)).unwrap()
}

#[test]
fn ranges_are_shown_in_words() {
    assert_eq!(range("", "2 ohm").to_string(), "at most 2 ohm");
    assert_eq!(range("15 mm", "21 mm").to_string(), "15 mm to 21 mm");
    assert_eq!(range("0.4 mm", "").to_string(), "at least 0.4 mm");
}

#[test]
fn ranges_nothing_can_meet_are_refused() {
    assert_eq!(Range::new(None, None), Err(QuantityError::NoLimits));
    assert!(matches!(
        Range::new(Some(quantity("2.1 cm")), Some(quantity("15 mm"))),
        Err(QuantityError::LimitsCrossed { .. })
    ));
    assert!(Range::new(Some(quantity("1 mm")), Some(quantity("2 s"))).is_err());
    assert!(Range::new(Some(quantity("15 mm")), Some(quantity("1.5 cm"))).is_ok());
}

/// ILAC-G8:09/2019, binary statement, w = U (read); the figures are ours.
#[test]
fn readings_are_judged_inside_the_guard_band() {
    use Verdict::{Outside, TooCloseToTell, Within};
    for (limits, reading, uncertainty, verdict) in [
        // Limit ±3 µm, U 1.0 µm.
        (("-3 µm", "3 µm"), "1.7 µm", "1.0 µm", Within),
        (("-3 µm", "3 µm"), "2.5 µm", "1.0 µm", TooCloseToTell),
        (("-3 µm", "3 µm"), "4.1 µm", "1.0 µm", Outside),
        // T ±4.00, U 1.600, reading 3.20: passes with w = 0, not with w = U.
        (("-4 mm", "4 mm"), "3.20 mm", "", Within),
        (("-4 mm", "4 mm"), "3.20 mm", "1.600 mm", TooCloseToTell),
        // On the edges, and across units.
        (("", "2 ohm"), "1.95 ohm", "0.05 ohm", Within),
        (("", "2 ohm"), "1.9501 ohm", "0.05 ohm", TooCloseToTell),
        (("", "2 ohm"), "2000 mohm", "0.05 ohm", TooCloseToTell),
        (("", "2 ohm"), "2000 mohm", "", Within),
        (("", "2 ohm"), "2001 mohm", "", Outside),
        (("", "2 ohm"), "2 ohm", "0 ohm", Within),
        (("15 mm", "21 mm"), "1.5 cm", "", Within),
        (("15 mm", "21 mm"), "15.4 mm", "0.5 mm", TooCloseToTell),
        (("15 mm", "21 mm"), "18 mm", "4 mm", TooCloseToTell),
        (("15 mm", "21 mm"), "14.9 mm", "0.5 mm", Outside),
        (("0.4 mm", ""), "15 mil", "", Outside),
        (("0.4 mm", ""), "16 mil", "", Within),
        (("5 °C", "35 °C"), "20 °C", "1 Δ°C", Within),
        (("5 °C", "35 °C"), "94 °F", "0.6 K", TooCloseToTell),
    ] {
        let band = (!uncertainty.is_empty()).then(|| quantity(uncertainty));
        let got = range(limits.0, limits.1).judge(&quantity(reading), band.as_ref()).unwrap();
        assert_eq!(got, verdict, "{reading} ± {uncertainty} in {limits:?}");
    }
}

/// The same rule the other way round: the figures above, and the resistance of nothing at all.
#[test]
fn a_range_that_the_guard_band_fills_passes_nothing() {
    for (limits, uncertainty, passes) in [
        (("-3 µm", "3 µm"), "3 µm", true),
        (("-3 µm", "3 µm"), "3.0001 µm", false),
        (("15 mm", "21 mm"), "0.3 cm", true),
        (("15 mm", "21 mm"), "4 mm", false),
        (("0.4 mm", ""), "9 m", true),
        (("", "2 ohm"), "2 ohm", true),
        (("", "2 ohm"), "2.1 ohm", false),
        (("-5 ohm", "2 ohm"), "2.1 ohm", false),
        (("", "2 V"), "2.1 V", true),
        (("5 °C", "35 °C"), "15 K", true),
        (("5 °C", "35 °C"), "15.1 Δ°C", false),
    ] {
        let limits = range(limits.0, limits.1);
        assert_eq!(limits.can_pass(&quantity(uncertainty)), Ok(passes), "{limits} ± {uncertainty}");
    }
    assert!(range("", "2 ohm").can_pass(&quantity("1 mm")).is_err());
}

#[test]
fn readings_of_something_else_are_refused() {
    let limits = range("", "2 ohm");
    assert!(limits.judge(&quantity("1 V"), None).is_err());
    assert!(limits.judge(&quantity("1 ohm"), Some(&quantity("1 mm"))).is_err());
    assert!(matches!(
        limits.judge(&quantity("1 ohm"), Some(&quantity("-0.1 ohm"))),
        Err(QuantityError::NegativeUncertainty { .. })
    ));
    assert!(range("5 °C", "").judge(&quantity("20 °C"), Some(&quantity("1 °C"))).is_err());
}
