//! Readings against limits.

use super::{Group, Tolerance};

const fn limit(
    source: &'static str,
    mark: &'static str,
    of: &'static str,
    unit: &'static str,
    tolerance: Tolerance,
    base: &'static [(&'static str, &'static str)],
    rows: &'static [super::Row],
) -> Group {
    Group { source, mark, method: "guard-band", of, unit, tolerance, base, rows, wrong: &[] }
}

pub(super) static GROUPS: &[Group] = &[
    limit(
        "talalspecialbolt.com: limit ±3 µm, U 1.0 µm",
        "read",
        "",
        "µm",
        Tolerance::Share(0.001),
        &[("uncertainty", "1.0 µm")],
        &[
            (&[("limit", "3 µm"), ("side", "at-most")], 2.0),
            (&[("limit", "-3 µm"), ("side", "at-least")], -2.0),
        ],
    ),
    limit(
        "harpermetrology.com/ilac-g8: T 4.00, U 1.600",
        "read",
        "",
        "mm",
        Tolerance::Share(0.001),
        &[("limit", "4.00 mm"), ("side", "at-most"), ("uncertainty", "1.600 mm")],
        &[(&[("factor", "0")], 4.0), (&[], 2.4)],
    ),
    limit(
        "ILAC-G8:09/2019, as SGS reports it: with w = U at most 2.5 % false acceptance",
        "read",
        "inside",
        "%",
        Tolerance::Within(0.25),
        &[("limit", "3 µm"), ("side", "at-most"), ("uncertainty", "1.0 µm")],
        &[(&[("reading", "2 µm")], 97.5), (&[("reading", "3 µm")], 50.0)],
    ),
    limit(
        "ILAC-G8:09/2019: w = 0.83 U gives 5 %",
        "memory",
        "inside",
        "%",
        Tolerance::Within(0.25),
        &[("limit", "3 µm"), ("side", "at-most"), ("uncertainty", "1.0 µm")],
        &[(&[("reading", "2.17 µm")], 95.0)],
    ),
    limit(
        "JCGM 106, breakdown voltage of a Zener diode",
        "memory",
        "inside",
        "%",
        Tolerance::Within(0.1),
        &[("limit", "-5.40 V"), ("side", "at-most"), ("uncertainty", "0.10 V")],
        &[(&[("reading", "-5.47 V")], 91.9)],
    ),
];
