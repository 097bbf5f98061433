//! Torque, clamping force and units of torque.

use super::{Group, Tolerance};

const fn torque(
    source: &'static str,
    mark: &'static str,
    base: &'static [(&'static str, &'static str)],
    rows: &'static [super::Row],
) -> Group {
    Group {
        source,
        mark,
        method: "tightening-torque",
        of: "",
        unit: "lbf·ft",
        tolerance: Tolerance::Share(0.005),
        base,
        rows,
        wrong: &[],
    }
}

/// Pairs printed in service manuals, to the nearest half.
const fn pair(
    unit: &'static str,
    base: &'static [(&'static str, &'static str)],
    rows: &'static [super::Row],
) -> Group {
    Group {
        source: "service manuals (myvehicle.help, charm.li)",
        mark: "read",
        method: "torque-unit",
        of: "",
        unit,
        tolerance: Tolerance::Share(0.01),
        base,
        rows,
        wrong: &[],
    }
}

const CLAMP: &str = "aionlinecalculator.com/bolt-torque-calculator.html";

pub(super) static GROUPS: &[Group] = &[
    Group {
        unit: "N·m",
        tolerance: Tolerance::Share(0.006),
        ..torque(
            CLAMP,
            "read",
            &[("diameter", "12 mm")],
            &[(&[("nut_factor", "0.20"), ("force", "34 kN")], 82.0)],
        )
    },
    Group {
        source: CLAMP,
        mark: "read",
        method: "clamp-force",
        of: "nominal",
        unit: "kN",
        tolerance: Tolerance::Share(0.02),
        base: &[("diameter", "12 mm"), ("torque", "82 N·m")],
        rows: &[
            (&[("nut_factor", "0.20")], 34.0),
            (&[("nut_factor", "0.15")], 45.0),
            (&[("nut_factor", "0.30")], 23.0),
        ],
        wrong: &[],
    },
    Group {
        source: "engitoolbox.org/calculators/bolt-torque",
        mark: "read",
        method: "clamp-force",
        of: "nominal",
        unit: "kN",
        tolerance: Tolerance::Share(0.001),
        base: &[("diameter", "10 mm"), ("torque", "50 N·m")],
        rows: &[(&[("nut_factor", "0.20")], 25.0)],
        wrong: &[],
    },
    // A root area of 0.302 in² and 0.551 in² (memory) under 1 ksi.
    torque(
        "ASME PCC-1, table O-3.2-1: lbf·ft for each ksi, ¾ in",
        "2nd hand",
        &[("diameter", "0.75 in"), ("force", "302 lbf")],
        &[
            (&[("nut_factor", "0.15")], 2.83),
            (&[("nut_factor", "0.18")], 3.40),
            (&[("nut_factor", "0.20")], 3.78),
        ],
    ),
    torque(
        "ASME PCC-1, table O-3.2-1: lbf·ft for each ksi, 1 in",
        "2nd hand",
        &[("diameter", "1 in"), ("force", "551 lbf")],
        &[
            (&[("nut_factor", "0.15")], 6.89),
            (&[("nut_factor", "0.18")], 8.27),
            (&[("nut_factor", "0.20")], 9.18),
        ],
    ),
    Group {
        wrong: &[
            (
                &[("torque", "11 N·m")],
                8.5,
                8.11,
                "rounded to a half and one step off: 11 ÷ 1.3558 is 8.11; keep the unit of the source",
            ),
            (
                &[("torque", "20 N·m")],
                15.0,
                14.7,
                "rounded to a whole: 20 ÷ 1.3558 is 14.75; keep the unit of the source",
            ),
        ],
        ..pair(
            "lbf·ft",
            &[("unit", "lbf·ft")],
            &[
                (&[("torque", "27 N·m")], 20.0),
                (&[("torque", "61 N·m")], 45.0),
                (&[("torque", "88 N·m")], 65.0),
                (&[("torque", "122 N·m")], 90.0),
                (&[("torque", "40 N·m")], 29.5),
                (&[("torque", "25 N·m")], 18.5),
            ],
        )
    },
    Group {
        wrong: &[(
            &[("torque", "11 N·m")],
            95.0,
            97.3,
            "rounded to five: 11 ÷ 0.11298 is 97.4; keep the unit of the source",
        )],
        ..pair("lbf·in", &[("unit", "lbf·in")], &[(&[("torque", "10 N·m")], 89.0)])
    },
];
