//! Readings against limits.

use super::{DERIVED, Document, Group, Tolerance};
use crate::methods::source::{Mark, SourceKind};

const ILAC_G8: Document = Document { title: "ILAC-G8:09/2019", kind: SourceKind::Standard(Mark::SecondHand) };
const ILAC_G8_TABLE: Document =
    Document { title: "ILAC-G8:09/2019, table 1", kind: SourceKind::Standard(Mark::Memory) };
const JCGM_106: Document = Document { title: "JCGM 106:2012", kind: SourceKind::Standard(Mark::Memory) };

/// A limit of 3 µm and an uncertainty of 1 µm, so that bands are read off the reading.
const THREE: &[(&str, &str)] = &[("limit", "3 µm"), ("side", "at-most"), ("uncertainty", "1.0 µm")];

pub(super) static GROUPS: &[Group] = &[
    Group {
        from: ILAC_G8,
        at: "a band of U has at most 2.5 % false acceptance, none 50 % (as two laboratories report it)",
        method: "guard-band",
        result: "inside",
        unit: "%",
        tolerance: Tolerance::Within(0.25),
        base: THREE,
        rows: &[(&[("reading", "2 µm")], 97.5), (&[("reading", "3 µm")], 50.0)],
        wrong: &[],
    },
    Group {
        from: ILAC_G8_TABLE,
        at: "a band of 0.83 U has at most 5 % false acceptance",
        method: "guard-band",
        result: "inside",
        unit: "%",
        tolerance: Tolerance::Within(0.25),
        base: THREE,
        rows: &[(&[("reading", "2.17 µm")], 95.0)],
        wrong: &[],
    },
    Group {
        from: JCGM_106,
        at: "7.3.3, example 1: breakdown voltage of a Zener diode",
        method: "guard-band",
        result: "inside",
        unit: "%",
        tolerance: Tolerance::Within(0.5),
        base: &[("limit", "-5.40 V"), ("side", "at-most"), ("uncertainty", "0.10 V")],
        rows: &[(&[("reading", "-5.47 V")], 92.0)],
        wrong: &[],
    },
    Group {
        from: JCGM_106,
        at: "7.3.3, example 2: bursting pressure of a container",
        method: "guard-band",
        result: "inside",
        unit: "%",
        tolerance: Tolerance::Within(0.5),
        base: &[("limit", "490 kPa"), ("side", "at-least"), ("uncertainty", "17.2 kPa")],
        rows: &[(&[("reading", "509.7 kPa")], 99.0)],
        wrong: &[],
    },
    Group {
        from: DERIVED,
        at: "limits of ±3 µm with U of 1.0 µm, and of 4.00 mm with U of 1.600 mm",
        method: "guard-band",
        result: "",
        unit: "mm",
        tolerance: Tolerance::Share(0.001),
        base: &[],
        rows: &[
            (&[("limit", "0.003 mm"), ("side", "at-most"), ("uncertainty", "0.0010 mm")], 0.002),
            (&[("limit", "-0.003 mm"), ("side", "at-least"), ("uncertainty", "0.0010 mm")], -0.002),
            (&[("limit", "4.00 mm"), ("side", "at-most"), ("uncertainty", "1.600 mm"), ("factor", "0")], 4.0),
            (&[("limit", "4.00 mm"), ("side", "at-most"), ("uncertainty", "1.600 mm")], 2.4),
        ],
        wrong: &[],
    },
];
