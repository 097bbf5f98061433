//! Volumes of lines, and flushing where old and new mix.

use super::{Group, Row, Tolerance};

const PUMPING: &[(&str, &str)] = &[("flow", "10 L/min"), ("volumes", "1")];

const fn hose(
    source: &'static str,
    mark: &'static str,
    unit: &'static str,
    tolerance: Tolerance,
    rows: &'static [Row],
) -> Group {
    Group { source, mark, method: "line-purge", of: "hose", unit, tolerance, base: PUMPING, rows, wrong: &[] }
}

/// Air changes an hour: the volume is 1 m³. The table rounds to whole minutes, some of them down.
const fn air(left: &'static [(&'static str, &'static str)], rows: &'static [Row]) -> Group {
    Group {
        source: "CDC, MMWR 1994;43(RR-13), table S3-1 (scribd 320588265; PMC7178924)",
        mark: "read",
        method: "purge-mixed",
        of: "",
        unit: "min",
        tolerance: Tolerance::Within(0.52),
        base: left,
        rows,
        wrong: &[],
    }
}

pub(super) static GROUPS: &[Group] = &[
    hose(
        "The Farm and Garden Rule-Book, gallons in 100 ft (chestofbooks.com)",
        "read",
        "US gal",
        Tolerance::Share(0.001),
        &[
            (&[("length", "100 ft"), ("bore", "0.5 in")], 1.02),
            (&[("length", "100 ft"), ("bore", "1 in")], 4.08),
            (&[("length", "100 ft"), ("bore", "1.5 in")], 9.18),
            (&[("length", "100 ft"), ("bore", "2 in")], 16.32),
            (&[("length", "100 ft"), ("bore", "2.5 in")], 25.50),
            (&[("length", "100 ft"), ("bore", "3 in")], 36.72),
            (&[("length", "100 ft"), ("bore", "4 in")], 65.28),
            (&[("length", "100 ft"), ("bore", "6 in")], 146.90),
        ],
    ),
    hose(
        "NWCG table 3.1, to one decimal (nwcg.gov)",
        "read",
        "US gal",
        Tolerance::Within(0.06),
        &[
            (&[("length", "100 ft"), ("bore", "1.5 in")], 9.2),
            (&[("length", "100 ft"), ("bore", "1 in")], 4.1),
            (&[("length", "50 ft"), ("bore", "0.75 in")], 1.2),
            (&[("length", "50 ft"), ("bore", "0.625 in")], 0.8),
        ],
    ),
    Group {
        wrong: &[(
            &[("length", "1 ft"), ("bore", "3 in")],
            0.625,
            0.3672,
            "a second answer on the same page; 4.08 × 3² ÷ 100 is 0.3672, as the first answer says",
        )],
        ..hose(
            "math.answers.com, gallons in a foot of 3 in pipe",
            "read",
            "US gal",
            Tolerance::Share(0.001),
            &[(&[("length", "1 ft"), ("bore", "3 in")], 0.3672)],
        )
    },
    hose(
        "Geometry: millilitres in a metre",
        "derived",
        "mL",
        Tolerance::Share(0.001),
        &[
            (&[("length", "1 m"), ("bore", "0.25 in")], 31.67),
            (&[("length", "1 m"), ("bore", "0.375 in")], 71.26),
            (&[("length", "1 m"), ("bore", "0.5 in")], 126.68),
        ],
    ),
    air(
        &[("volume", "1 m³"), ("left", "10 %")],
        &[
            (&[("flow", "1 m³/h")], 138.0),
            (&[("flow", "6 m³/h")], 23.0),
            (&[("flow", "15 m³/h")], 9.0),
            (&[("flow", "50 m³/h")], 3.0),
        ],
    ),
    air(
        &[("volume", "1 m³"), ("left", "1 %")],
        &[
            (&[("flow", "1 m³/h")], 276.0),
            (&[("flow", "6 m³/h")], 46.0),
            (&[("flow", "12 m³/h")], 23.0),
            (&[("flow", "15 m³/h")], 18.0),
            (&[("flow", "50 m³/h")], 6.0),
        ],
    ),
    air(
        &[("volume", "1 m³"), ("left", "0.1 %")],
        &[
            (&[("flow", "1 m³/h")], 414.0),
            (&[("flow", "6 m³/h")], 69.0),
            (&[("flow", "12 m³/h")], 35.0),
            (&[("flow", "15 m³/h")], 28.0),
            (&[("flow", "50 m³/h")], 8.0),
        ],
    ),
    Group {
        source: "Canadian copy of the CDC table, 13 air changes (epe.lac-bac.gc.ca)",
        wrong: &[(
            &[("flow", "13 m³/h")],
            3.0,
            31.9,
            "a digit is missing in print: ln(1000) ÷ 13 h is 31.9 min, and the row above prints 35",
        )],
        ..air(&[("volume", "1 m³"), ("left", "0.1 %")], &[])
    },
    Group {
        source: "jayjock-associates.blogspot.com 2013/07: 20 m³ at 9.9 m³/h",
        unit: "h",
        tolerance: Tolerance::Share(0.025),
        ..air(
            &[("volume", "20 m³"), ("flow", "9.9 m³/h")],
            &[(&[("left", "50 %")], 1.4), (&[("left", "25.625 %")], 2.8)],
        )
    },
];
