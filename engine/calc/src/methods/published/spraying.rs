//! Rates, speeds and areas of sprayers.

use super::{Document, Group, Tolerance};
use crate::methods::source::{Mark, SourceKind};

const ALBERTA: Document = Document {
    title: "Alberta Agriculture, crop protection, Agdex 606-1",
    kind: SourceKind::AgencyTable(Mark::Read),
};
const BOOM_SPRAYER: Document =
    Document { title: "HCM sprayers, manual AB20020", kind: SourceKind::MakerTable(Mark::Read) };
const VINEYARD_SPRAYER: Document =
    Document { title: "ZM 100 SN sprayers, manual", kind: SourceKind::MakerTable(Mark::Read) };
const TOWED_SPRAYER: Document = Document {
    title: "Tow-behind broadcast sprayer 99901, product manual",
    kind: SourceKind::MakerTable(Mark::Read),
};
const SAFETY_HANDBOOK: Document = Document {
    title: "The Agrochemical and Pesticides Safety Handbook",
    kind: SourceKind::Handbook(Mark::Read),
};
const CAROLINA: Document = Document {
    title: "NC State Extension, backpack sprayer calibration worksheet",
    kind: SourceKind::AgencyTable(Mark::Read),
};

/// Acres in a hectare, for rates printed by the acre.
const PER_ACRE: f64 = 2.471_053_8;

pub(super) static GROUPS: &[Group] = &[
    // Flows of two digits: half a unit of 0.38 is more than one percent.
    Group {
        from: ALBERTA,
        at: "page 10, sample nozzle chart, in litres an acre",
        method: "application-rate",
        result: "",
        unit: "L/ha",
        tolerance: Tolerance::Share(0.03),
        base: &[("swath", "50 cm")],
        rows: &[
            (&[("flow", "0.38 L/min"), ("speed", "6 km/h")], 30.0 * PER_ACRE),
            (&[("flow", "0.38 L/min"), ("speed", "9 km/h")], 20.0 * PER_ACRE),
            (&[("flow", "0.38 L/min"), ("speed", "10 km/h")], 18.0 * PER_ACRE),
            (&[("flow", "0.57 L/min"), ("speed", "6 km/h")], 45.0 * PER_ACRE),
            (&[("flow", "0.57 L/min"), ("speed", "8 km/h")], 34.0 * PER_ACRE),
            (&[("flow", "0.57 L/min"), ("speed", "9 km/h")], 30.0 * PER_ACRE),
            (&[("flow", "0.57 L/min"), ("speed", "10 km/h")], 27.0 * PER_ACRE),
            (&[("flow", "0.75 L/min"), ("speed", "6 km/h")], 60.0 * PER_ACRE),
            (&[("flow", "0.75 L/min"), ("speed", "8 km/h")], 45.0 * PER_ACRE),
            (&[("flow", "0.75 L/min"), ("speed", "9 km/h")], 40.0 * PER_ACRE),
            (&[("flow", "0.75 L/min"), ("speed", "10 km/h")], 36.0 * PER_ACRE),
        ],
        wrong: &[(
            &[("flow", "0.38 L/min"), ("speed", "8 km/h")],
            22.0 * PER_ACRE,
            57.0,
            "the chart divides its own 30 at 6 km/h, which is cut off from 30.8; 600 × 0.38 ÷ (8 × 0.5) is 57 L/ha, 23.1 an acre",
        )],
    },
    Group {
        from: BOOM_SPRAYER,
        at: "flood tips, page 26: 40 in apart",
        method: "application-rate",
        result: "",
        unit: "US gal/acre",
        tolerance: Tolerance::Share(0.015),
        base: &[("swath", "40 in")],
        rows: &[
            (&[("flow", "0.40 US gal/min"), ("speed", "4 mph")], 14.9),
            (&[("flow", "0.40 US gal/min"), ("speed", "5 mph")], 11.9),
            (&[("flow", "0.40 US gal/min"), ("speed", "6 mph")], 9.9),
            (&[("flow", "0.40 US gal/min"), ("speed", "8 mph")], 7.5),
            (&[("flow", "0.40 US gal/min"), ("speed", "10 mph")], 5.9),
            (&[("flow", "0.50 US gal/min"), ("speed", "4 mph")], 18.6),
            (&[("flow", "0.50 US gal/min"), ("speed", "5 mph")], 14.9),
            (&[("flow", "0.50 US gal/min"), ("speed", "6 mph")], 12.4),
            (&[("flow", "0.50 US gal/min"), ("speed", "8 mph")], 9.3),
            (&[("flow", "0.50 US gal/min"), ("speed", "10 mph")], 7.4),
            (&[("flow", "0.75 US gal/min"), ("speed", "4 mph")], 28.0),
            (&[("flow", "0.75 US gal/min"), ("speed", "5 mph")], 22.0),
            (&[("flow", "0.75 US gal/min"), ("speed", "6 mph")], 18.7),
            (&[("flow", "0.75 US gal/min"), ("speed", "8 mph")], 14.0),
            (&[("flow", "0.75 US gal/min"), ("speed", "10 mph")], 11.1),
            (&[("flow", "1.50 US gal/min"), ("speed", "4 mph")], 56.0),
            (&[("flow", "1.50 US gal/min"), ("speed", "5 mph")], 45.0),
            (&[("flow", "1.50 US gal/min"), ("speed", "6 mph")], 37.4),
            (&[("flow", "1.50 US gal/min"), ("speed", "8 mph")], 27.5),
            (&[("flow", "1.50 US gal/min"), ("speed", "10 mph")], 22.0),
        ],
        wrong: &[],
    },
    Group {
        from: BOOM_SPRAYER,
        at: "flat fan tips, page 26: 20 in apart, 40 psi",
        method: "application-rate",
        result: "",
        unit: "US gal/acre",
        tolerance: Tolerance::Share(0.007),
        base: &[("swath", "20 in"), ("flow", "0.20 US gal/min")],
        rows: &[
            (&[("speed", "4 mph")], 14.8),
            (&[("speed", "5 mph")], 11.8),
            (&[("speed", "7.5 mph")], 7.9),
            (&[("speed", "10 mph")], 5.9),
        ],
        wrong: &[],
    },
    Group {
        from: VINEYARD_SPRAYER,
        at: "page 18: twelve nozzles on a row of 3 m",
        method: "application-rate",
        result: "",
        unit: "L/ha",
        tolerance: Tolerance::Share(0.001),
        base: &[("swath", "3.0 m")],
        rows: &[(&[("flow", "12.24 L/min"), ("speed", "6 km/h")], 408.0)],
        wrong: &[],
    },
    // The method rounds down to 0.1 m/s, which is 0.224 mph.
    Group {
        from: BOOM_SPRAYER,
        at: "flood tips, page 26: 40 in apart, read the other way",
        method: "walking-speed",
        result: "",
        unit: "mph",
        tolerance: Tolerance::Within(0.224),
        base: &[("swath", "40 in")],
        rows: &[
            (&[("flow", "0.40 US gal/min"), ("rate", "14.9 US gal/acre")], 4.0),
            (&[("flow", "0.40 US gal/min"), ("rate", "11.9 US gal/acre")], 5.0),
            (&[("flow", "0.40 US gal/min"), ("rate", "9.9 US gal/acre")], 6.0),
            (&[("flow", "0.50 US gal/min"), ("rate", "18.6 US gal/acre")], 4.0),
            (&[("flow", "0.50 US gal/min"), ("rate", "14.9 US gal/acre")], 5.0),
            (&[("flow", "0.50 US gal/min"), ("rate", "12.4 US gal/acre")], 6.0),
        ],
        wrong: &[],
    },
    // 0.1 m/s is 0.36 km/h.
    Group {
        from: VINEYARD_SPRAYER,
        at: "page 18, read the other way",
        method: "walking-speed",
        result: "",
        unit: "km/h",
        tolerance: Tolerance::Within(0.36),
        base: &[("swath", "3.0 m")],
        rows: &[(&[("flow", "12.24 L/min"), ("rate", "408 L/ha")], 6.0)],
        wrong: &[],
    },
    Group {
        from: TOWED_SPRAYER,
        at: "page 32, table 1: gallons an acre and gallons on 10 000 ft², 30 psi",
        method: "coverage",
        result: "",
        unit: "US gal",
        tolerance: Tolerance::Share(0.004),
        base: &[("area", "10000 ft²"), ("round_up", "0.01 L")],
        rows: &[
            (&[("rate", "102.5 US gal/acre")], 23.5),
            (&[("rate", "68.3 US gal/acre")], 15.7),
            (&[("rate", "51.2 US gal/acre")], 11.8),
            (&[("rate", "41.0 US gal/acre")], 9.40),
            (&[("rate", "34.2 US gal/acre")], 7.86),
            (&[("rate", "25.6 US gal/acre")], 5.89),
            (&[("rate", "20.5 US gal/acre")], 4.71),
        ],
        wrong: &[],
    },
    Group {
        from: TOWED_SPRAYER,
        at: "page 32, step 5: one fill of 31 gallons",
        method: "coverage",
        result: "fill",
        unit: "acre",
        tolerance: Tolerance::Share(0.004),
        base: &[("area", "1 acre"), ("tank", "31 US gal")],
        rows: &[(&[("rate", "12 US gal/acre")], 2.58)],
        wrong: &[],
    },
    Group {
        from: SAFETY_HANDBOOK,
        at: "less than a full tank, example 4",
        method: "coverage",
        result: "",
        unit: "US gal",
        tolerance: Tolerance::Share(0.001),
        base: &[("area", "3.5 acre"), ("round_up", "0.01 L")],
        rows: &[(&[("rate", "15 US gal/acre")], 52.5)],
        wrong: &[],
    },
    // 40 litres an acre, of 2.471 to the hectare.
    Group {
        from: ALBERTA,
        at: "page 11, step 6",
        method: "coverage",
        result: "",
        unit: "L",
        tolerance: Tolerance::Share(0.001),
        base: &[("area", "30 acre")],
        rows: &[(&[("rate", "98.84 L/ha")], 1200.0)],
        wrong: &[],
    },
    // 0.01 L is 0.34 fl oz.
    Group {
        from: CAROLINA,
        at: "step 4: as many ounces on 340 ft² as gallons an acre",
        method: "coverage",
        result: "",
        unit: "US fl oz",
        tolerance: Tolerance::Within(0.34),
        base: &[("area", "340 ft²"), ("round_up", "0.01 L")],
        rows: &[(&[("rate", "7.5 US gal/acre")], 7.5)],
        wrong: &[],
    },
];
