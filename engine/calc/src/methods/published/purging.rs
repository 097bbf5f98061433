//! Volumes of lines, and flushing where old and new mix.

use super::{DERIVED, Document, Group, Tolerance};
use crate::methods::source::{Mark, SourceKind};

const RULE_BOOK: Document =
    Document { title: "The Farm and Garden Rule-Book", kind: SourceKind::Handbook(Mark::Read) };
const NWCG: Document =
    Document { title: "NWCG, Firefighter Math", kind: SourceKind::AgencyTable(Mark::Read) };
const CDC_1994: Document =
    Document { title: "CDC, MMWR 1994;43(RR-13)", kind: SourceKind::AgencyTable(Mark::Read) };
const CANADA: Document = Document {
    title: "Canada Communicable Disease Report 22S1, 1996",
    kind: SourceKind::AgencyTable(Mark::Read),
};

const PUMPING: &[(&str, &str)] = &[("flow", "10 L/min"), ("volumes", "1")];

pub(super) static GROUPS: &[Group] = &[
    Group {
        from: RULE_BOOK,
        at: "gallons in 100 ft of pipe",
        method: "line-purge",
        result: "hose",
        unit: "US gal",
        tolerance: Tolerance::Share(0.001),
        base: PUMPING,
        rows: &[
            (&[("length", "100 ft"), ("bore", "0.5 in")], 1.02),
            (&[("length", "100 ft"), ("bore", "1 in")], 4.08),
            (&[("length", "100 ft"), ("bore", "1.5 in")], 9.18),
            (&[("length", "100 ft"), ("bore", "2 in")], 16.32),
            (&[("length", "100 ft"), ("bore", "2.5 in")], 25.50),
            (&[("length", "100 ft"), ("bore", "3 in")], 36.72),
            (&[("length", "100 ft"), ("bore", "4 in")], 65.28),
            (&[("length", "100 ft"), ("bore", "6 in")], 146.90),
        ],
        wrong: &[],
    },
    Group {
        from: NWCG,
        at: "table 3.1, to one decimal",
        method: "line-purge",
        result: "hose",
        unit: "US gal",
        tolerance: Tolerance::Within(0.06),
        base: PUMPING,
        rows: &[
            (&[("length", "100 ft"), ("bore", "1.5 in")], 9.2),
            (&[("length", "100 ft"), ("bore", "1 in")], 4.1),
            (&[("length", "50 ft"), ("bore", "0.75 in")], 1.2),
            (&[("length", "50 ft"), ("bore", "0.625 in")], 0.8),
        ],
        wrong: &[],
    },
    Group {
        from: DERIVED,
        at: "millilitres in a metre",
        method: "line-purge",
        result: "hose",
        unit: "mL",
        tolerance: Tolerance::Share(0.001),
        base: PUMPING,
        rows: &[
            (&[("length", "1 m"), ("bore", "0.25 in")], 31.67),
            (&[("length", "1 m"), ("bore", "0.375 in")], 71.26),
            (&[("length", "1 m"), ("bore", "0.5 in")], 126.68),
        ],
        wrong: &[],
    },
    // Air changes an hour: the volume is 1 m³. The table rounds to whole minutes, some of them down.
    Group {
        from: CDC_1994,
        at: "table S3-1: 10 % left",
        method: "purge-mixed",
        result: "",
        unit: "min",
        tolerance: Tolerance::Within(0.52),
        base: &[("volume", "1 m³"), ("left", "10 %")],
        rows: &[
            (&[("flow", "1 m³/h")], 138.0),
            (&[("flow", "2 m³/h")], 69.0),
            (&[("flow", "6 m³/h")], 23.0),
            (&[("flow", "15 m³/h")], 9.0),
            (&[("flow", "50 m³/h")], 3.0),
        ],
        wrong: &[],
    },
    Group {
        from: CDC_1994,
        at: "table S3-1: 1 % left",
        method: "purge-mixed",
        result: "",
        unit: "min",
        tolerance: Tolerance::Within(0.52),
        base: &[("volume", "1 m³"), ("left", "1 %")],
        rows: &[
            (&[("flow", "1 m³/h")], 276.0),
            (&[("flow", "2 m³/h")], 138.0),
            (&[("flow", "6 m³/h")], 46.0),
            (&[("flow", "12 m³/h")], 23.0),
            (&[("flow", "15 m³/h")], 18.0),
            (&[("flow", "50 m³/h")], 6.0),
        ],
        wrong: &[],
    },
    Group {
        from: CDC_1994,
        at: "table S3-1: 0.1 % left",
        method: "purge-mixed",
        result: "",
        unit: "min",
        tolerance: Tolerance::Within(0.52),
        base: &[("volume", "1 m³"), ("left", "0.1 %")],
        rows: &[
            (&[("flow", "1 m³/h")], 414.0),
            (&[("flow", "2 m³/h")], 207.0),
            (&[("flow", "6 m³/h")], 69.0),
            (&[("flow", "12 m³/h")], 35.0),
            (&[("flow", "15 m³/h")], 28.0),
            (&[("flow", "50 m³/h")], 8.0),
        ],
        wrong: &[],
    },
    Group {
        from: CANADA,
        at: "appendix F, 13 air changes",
        method: "purge-mixed",
        result: "",
        unit: "min",
        tolerance: Tolerance::Within(0.52),
        base: &[("volume", "1 m³"), ("left", "0.1 %")],
        rows: &[],
        wrong: &[(
            &[("flow", "13 m³/h")],
            3.0,
            31.9,
            "a digit is missing in print: ln(1000) ÷ 13 h is 31.9 min, and the row above prints 35",
        )],
    },
];
