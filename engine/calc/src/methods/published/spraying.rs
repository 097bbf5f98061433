//! Rates, speeds and flows of sprayers.

use super::{Group, Tolerance};

const fn rate(
    source: &'static str,
    unit: &'static str,
    base: &'static [(&'static str, &'static str)],
    rows: &'static [super::Row],
) -> Group {
    Group {
        source,
        mark: "read",
        method: "application-rate",
        of: "",
        unit,
        tolerance: Tolerance::Share(0.001),
        base,
        rows,
        wrong: &[],
    }
}

const ORIFICE: &[(&str, &str)] = &[("flow", "1 L/min"), ("pressure", "200 kPa")];

pub(super) static GROUPS: &[Group] = &[
    rate(
        "spraymixcalculator-gh.pages.dev",
        "US gal/acre",
        &[("flow", "0.4 US gal/min"), ("speed", "3 mph"), ("swath", "20 in")],
        &[(&[], 39.6)],
    ),
    rate(
        "spraymixcalculator-gh.pages.dev, in litres",
        "L/ha",
        &[("flow", "0.4 US gal/min"), ("speed", "3 mph"), ("swath", "20 in")],
        &[(&[], 370.4)],
    ),
    rate(
        "mfgcalcs.com",
        "US gal/acre",
        &[("speed", "3 mph"), ("swath", "40 in")],
        &[(&[("flow", "0.25 US gal/min")], 12.38), (&[("flow", "0.63 US gal/min")], 31.19)],
    ),
    // The same example, solved for the speed; two digits, rounded down.
    Group {
        method: "walking-speed",
        tolerance: Tolerance::Share(0.04),
        ..rate(
            "spraymixcalculator-gh.pages.dev",
            "mph",
            &[("flow", "0.4 US gal/min"), ("rate", "39.6 US gal/acre"), ("swath", "20 in")],
            &[(&[], 3.0)],
        )
    },
    Group {
        method: "orifice-flow",
        ..rate(
            "nozzle-pro.com, summacalculator.com: twice the pressure, 1.414 times the flow",
            "L/min",
            ORIFICE,
            &[(&[("to_pressure", "400 kPa")], 1.414), (&[("to_pressure", "800 kPa")], 2.0)],
        )
    },
];
