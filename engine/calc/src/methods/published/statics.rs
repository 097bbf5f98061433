//! Stored energy and discharge.

use super::{DERIVED, Document, Group, Tolerance};
use crate::methods::source::{Mark, SourceKind};

const HANDBOOK_274: Document = Document {
    title: "MIL-HDBK-274A, electrical grounding for aircraft safety",
    kind: SourceKind::Handbook(Mark::Read),
};
const NFPA_77: Document = Document {
    title: "NFPA 77, recommended practice on static electricity, 2000 edition",
    kind: SourceKind::Standard(Mark::Read),
};
const CAPACITORS: Document = Document {
    title: "Power capacitors, technical application note TS 03-010I, discharge resistors",
    kind: SourceKind::MakerTable(Mark::Read),
};
const STD_331: Document =
    Document { title: "MIL-STD-331, electrostatic discharge", kind: SourceKind::Standard(Mark::Memory) };
const TR_50404: Document = Document {
    title: "CLC/TR 50404, avoidance of hazards due to static electricity",
    kind: SourceKind::Standard(Mark::Memory),
};
const STD_883: Document = Document {
    title: "MIL-STD-883, method 3015, human body model",
    kind: SourceKind::Standard(Mark::Memory),
};

pub(super) static GROUPS: &[Group] = &[
    Group {
        from: HANDBOOK_274,
        at: "4.7.1.1 and 4.7.1.3, page 29: an aircraft of 0.005 µF",
        method: "stored-energy",
        result: "",
        unit: "J",
        tolerance: Tolerance::Share(0.001),
        base: &[("capacitance", "0.005 µF")],
        rows: &[(&[("voltage", "1200 V")], 0.0036), (&[("voltage", "60 kV")], 9.0)],
        wrong: &[],
    },
    // The method rounds up to three digits, which is up to 0.7 % here and below.
    Group {
        from: STD_331,
        at: "charged person and helicopter",
        method: "stored-energy",
        result: "",
        unit: "J",
        tolerance: Tolerance::Share(0.007),
        base: &[],
        rows: &[
            (&[("capacitance", "500 pF"), ("voltage", "25 kV")], 0.156),
            (&[("capacitance", "1000 pF"), ("voltage", "300 kV")], 45.0),
        ],
        wrong: &[],
    },
    Group {
        from: TR_50404,
        at: "energies at 10 kV",
        method: "stored-energy",
        result: "",
        unit: "mJ",
        tolerance: Tolerance::Share(0.001),
        base: &[("voltage", "10 kV")],
        rows: &[
            (&[("capacitance", "1 pF")], 0.05),
            (&[("capacitance", "10 pF")], 0.5),
            (&[("capacitance", "100 pF")], 5.0),
            (&[("capacitance", "300 pF")], 15.0),
            (&[("capacitance", "1000 pF")], 50.0),
        ],
        wrong: &[],
    },
    Group {
        from: DERIVED,
        at: "charge of 4.4 µF at 80 V",
        method: "stored-energy",
        result: "charge",
        unit: "µC",
        tolerance: Tolerance::Share(0.001),
        base: &[],
        rows: &[(&[("capacitance", "4.4 µF"), ("voltage", "80 V")], 352.0)],
        wrong: &[],
    },
    Group {
        from: HANDBOOK_274,
        at: "equation 4, page 12",
        method: "static-discharge",
        result: "exact",
        unit: "s",
        tolerance: Tolerance::Share(0.007),
        base: &[("resistance", "40 Mohm"), ("capacitance", "0.005 µF")],
        rows: &[(&[("from", "60 kV"), ("to", "30 V")], 1.52)],
        wrong: &[],
    },
    Group {
        from: CAPACITORS,
        at: "50 kvar at 400 V and 50 Hz, in delta: 331.6 µF a phase, charged to 400 × √2 V",
        method: "static-discharge",
        result: "exact",
        unit: "s",
        tolerance: Tolerance::Share(0.005),
        base: &[("capacitance", "331.6 µF"), ("from", "565.7 V")],
        rows: &[
            (&[("resistance", "268 kohm"), ("to", "75 V")], 180.0),
            (&[("resistance", "74.5 kohm"), ("to", "50 V")], 60.0),
        ],
        wrong: &[],
    },
    // A metre cube of methyl acetate (3.4 × 10⁸ pS/m, 6.68), methyl alcohol (4.4 × 10⁷, 32.70), methyl cyanoacetate
    // (4.49 × 10⁷, 29.30), methyl formate (1.92 × 10⁸, 8.5) and 1-nitropropane (3.3 × 10⁷, 23.24): resistance and
    // capacitance are its conductivity and dielectric constant of the same table. Printed to two digits.
    Group {
        from: NFPA_77,
        at: "table B.2: relaxation time constants",
        method: "static-discharge",
        result: "constant",
        unit: "s",
        tolerance: Tolerance::Share(0.03),
        base: &[("from", "10 kV"), ("to", "100 V")],
        rows: &[
            (&[("resistance", "2941 ohm"), ("capacitance", "59.15 pF")], 1.7e-7),
            (&[("resistance", "22.73 kohm"), ("capacitance", "289.5 pF")], 6.6e-6),
            (&[("resistance", "22.27 kohm"), ("capacitance", "259.4 pF")], 5.8e-6),
            (&[("resistance", "5208 ohm"), ("capacitance", "75.26 pF")], 3.9e-7),
            (&[("resistance", "30.30 kohm"), ("capacitance", "205.8 pF")], 6.2e-6),
        ],
        wrong: &[],
    },
    Group {
        from: STD_883,
        at: "decay time",
        method: "static-discharge",
        result: "constant",
        unit: "s",
        tolerance: Tolerance::Share(0.005),
        base: &[("from", "10 kV"), ("to", "100 V")],
        rows: &[(&[("resistance", "1.5 kohm"), ("capacitance", "100 pF")], 150e-9)],
        wrong: &[],
    },
    Group {
        from: DERIVED,
        at: "a person of 300 pF on 100 MΩ",
        method: "static-discharge",
        result: "exact",
        unit: "s",
        tolerance: Tolerance::Share(0.007),
        base: &[],
        rows: &[(
            &[("resistance", "100 Mohm"), ("capacitance", "300 pF"), ("from", "10 kV"), ("to", "100 V")],
            0.1382,
        )],
        wrong: &[],
    },
];
