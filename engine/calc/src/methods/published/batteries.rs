//! Charge times and states of charge.

use super::{Document, Group, Tolerance};
use crate::methods::source::{Mark, SourceKind};

const CHARGER: Document = Document {
    title: "Operator's manuals of battery chargers INC-14825A and PSW-70300A",
    kind: SourceKind::MakerTable(Mark::Read),
};
const OTHER_CHARGER: Document = Document {
    title: "Operator's manual of battery charger 200.71240",
    kind: SourceKind::MakerTable(Mark::Read),
};
const SMALL_CHARGER: Document = Document {
    title: "Manual of battery charger VEC1093A, revision 101103",
    kind: SourceKind::MakerTable(Mark::Read),
};
const BCI: Document = Document {
    title: "Battery Council International, flooded batteries at 27 °C (a copy)",
    kind: SourceKind::Handbook(Mark::Read),
};
const TESTER: Document =
    Document { title: "User's manual of battery tester BA100", kind: SourceKind::MakerTable(Mark::Read) };

const REST: &[(&str, &str)] =
    &[("chemistry", "flooded-lead-acid"), ("cells", "6"), ("uncertainty", "0 V"), ("rest", "24 h")];

pub(super) static GROUPS: &[Group] = &[
    Group {
        from: CHARGER,
        at: "calculating charge time, hours × 1.25, pages 8 and 10",
        method: "charge-time",
        result: "",
        unit: "h",
        tolerance: Tolerance::Share(0.0005),
        base: &[("capacity", "100 Ah"), ("charged", "50 %"), ("efficiency", "80 %")],
        rows: &[(&[("current", "17 A")], 3.676), (&[("current", "20 A")], 3.125)],
        wrong: &[],
    },
    Group {
        from: SMALL_CHARGER,
        at: "appendix A, page 11: 50 Ah at 20 A, before 10 % is added",
        method: "charge-time",
        result: "",
        unit: "h",
        tolerance: Tolerance::Share(0.0005),
        base: &[("capacity", "50 Ah"), ("current", "20 A"), ("efficiency", "100 %")],
        rows: &[(&[], 2.5)],
        wrong: &[],
    },
    Group {
        from: OTHER_CHARGER,
        at: "page 13",
        method: "charge-time",
        result: "",
        unit: "h",
        tolerance: Tolerance::Share(0.0005),
        base: &[("capacity", "100 Ah"), ("charged", "50 %"), ("efficiency", "80 %")],
        rows: &[],
        wrong: &[(
            &[("current", "50 A")],
            1.5625,
            1.25,
            "the factor of 1.25 is taken twice in print: 100 × 0.50 ÷ 50 is 1 h, and with it 1.25 h",
        )],
    },
    // The method's own table: these hold its figures only. A hundredth of a volt is a little over one percent.
    Group {
        from: BCI,
        at: "open-circuit voltage and state of charge",
        method: "rest-voltage",
        result: "",
        unit: "%",
        tolerance: Tolerance::Within(1.4),
        base: REST,
        rows: &[
            (&[("voltage", "12.65 V")], 100.0),
            (&[("voltage", "12.45 V")], 75.0),
            (&[("voltage", "12.24 V")], 50.0),
            (&[("voltage", "12.06 V")], 25.0),
            (&[("voltage", "11.89 V")], 0.0),
        ],
        wrong: &[],
    },
    Group {
        from: TESTER,
        at: "2.3, battery voltage explanation, page 7",
        method: "rest-voltage",
        result: "",
        unit: "%",
        tolerance: Tolerance::Within(1.4),
        base: REST,
        rows: &[(&[("voltage", "12.45 V")], 75.0)],
        wrong: &[(
            &[("voltage", "12.15 V")],
            50.0,
            37.0,
            "this manual waits ten minutes only; BCI, at rest, gives 12.24 V for one half and 37 % for this voltage",
        )],
    },
];
