//! Mixes of chlorine.

use super::{Document, Group, Tolerance};
use crate::methods::source::{Mark, SourceKind};

const CDC: Document = Document {
    title: "CDC Guideline for Disinfection and Sterilization",
    kind: SourceKind::AgencyTable(Mark::Read),
};
const WHO_2014: Document = Document {
    title: "WHO, Infection prevention and control of epidemic-prone respiratory infections, 2014",
    kind: SourceKind::AgencyTable(Mark::Read),
};
const WHO_LAB: Document =
    Document { title: "WHO Laboratory Biosafety Manual (copies)", kind: SourceKind::AgencyTable(Mark::Read) };
const OUTBREAK: Document = Document {
    title: "Global Task Force on Cholera Control, Cholera Outbreak Response Field Manual, 2019",
    kind: SourceKind::AgencyTable(Mark::Read),
};
const KANSAS: Document = Document {
    title: "Kansas Department of Health and Environment, disinfection of wells",
    kind: SourceKind::AgencyTable(Mark::Read),
};
const RED_CROSS: Document = Document {
    title: "Red Cross items catalogue, sodium dichloroisocyanurate",
    kind: SourceKind::AgencyTable(Mark::Read),
};
const MSF: Document = Document {
    title: "MSF catalogue, sodium dichloroisocyanurate tablets",
    kind: SourceKind::AgencyTable(Mark::Read),
};

pub(super) static GROUPS: &[Group] = &[
    // Parts of water to one part, so that one litre of concentrate is added to that many litres.
    Group {
        from: CDC,
        at: "appendix E, examples 1 and 3",
        method: "dilution-liquid",
        result: "",
        unit: "L",
        tolerance: Tolerance::Share(0.001),
        base: &[],
        rows: &[
            (&[("stock", "3.5 %"), ("wanted", "0.5 %"), ("water", "6 L")], 1.0),
            (&[("stock", "5 %"), ("wanted", "0.1 %"), ("water", "49 L")], 1.0),
        ],
        wrong: &[],
    },
    Group {
        from: WHO_LAB,
        at: "table 12",
        method: "dilution-liquid",
        result: "",
        unit: "mL",
        tolerance: Tolerance::Share(0.001),
        base: &[("stock", "5 %"), ("volume", "1 L")],
        rows: &[(&[("wanted", "0.1 %")], 20.0), (&[("wanted", "0.5 %")], 100.0)],
        wrong: &[],
    },
    Group {
        from: KANSAS,
        at: "fluid ounces for 1000 gallons",
        method: "dilution-liquid",
        result: "",
        unit: "US fl oz",
        tolerance: Tolerance::Share(0.001),
        base: &[("stock", "5.25 %")],
        rows: &[(&[("wanted", "50 mg/L"), ("volume", "1000 US gal")], 122.0)],
        wrong: &[],
    },
    Group {
        from: CDC,
        at: "appendix E, example 2",
        method: "dilution-powder",
        result: "",
        unit: "g",
        tolerance: Tolerance::Within(0.05),
        base: &[("volume", "1 L")],
        rows: &[(&[("active", "35 %"), ("wanted", "0.5 %")], 14.3)],
        wrong: &[],
    },
    // Printed to the nearest spoon.
    Group {
        from: WHO_LAB,
        at: "table 12",
        method: "dilution-powder",
        result: "",
        unit: "g",
        tolerance: Tolerance::Share(0.025),
        base: &[("volume", "1 L"), ("round_up", "0.01 g")],
        rows: &[
            (&[("active", "70 %"), ("wanted", "0.1 %")], 1.4),
            (&[("active", "70 %"), ("wanted", "0.5 %")], 7.0),
            (&[("active", "60 %"), ("wanted", "0.1 %")], 1.7),
            (&[("active", "60 %"), ("wanted", "0.5 %")], 8.5),
        ],
        wrong: &[],
    },
    // Printed for a spoon.
    Group {
        from: OUTBREAK,
        at: "appendix 9",
        method: "dilution-powder",
        result: "",
        unit: "g",
        tolerance: Tolerance::Share(0.05),
        base: &[("active", "70 %"), ("volume", "1 L"), ("round_up", "0.01 g")],
        rows: &[(&[("wanted", "0.05 %")], 0.7), (&[("wanted", "0.2 %")], 3.0), (&[("wanted", "2 %")], 30.0)],
        wrong: &[],
    },
    Group {
        from: OUTBREAK,
        at: "appendix 14: one stock of 1 %",
        method: "dilution-powder",
        result: "",
        unit: "g",
        tolerance: Tolerance::Share(0.05),
        base: &[("wanted", "1 %"), ("volume", "1 L"), ("round_up", "0.01 g")],
        rows: &[(&[("active", "70 %")], 15.0), (&[("active", "30 %")], 33.0)],
        wrong: &[],
    },
    Group {
        from: WHO_LAB,
        at: "table 12",
        method: "dilution-tablets",
        result: "",
        unit: "tablets",
        tolerance: Tolerance::Share(0.001),
        base: &[("tablet", "1.5 g"), ("volume", "1 L")],
        rows: &[(&[("wanted", "0.1 %")], 1.0), (&[("wanted", "0.5 %")], 4.0)],
        wrong: &[],
    },
    Group {
        from: OUTBREAK,
        at: "appendix 14: one stock of 1 %",
        method: "dilution-tablets",
        result: "",
        unit: "tablets",
        tolerance: Tolerance::Share(0.001),
        base: &[("wanted", "1 %"), ("volume", "1 L")],
        rows: &[(&[("tablet", "1 g")], 10.0)],
        wrong: &[],
    },
    Group {
        from: RED_CROSS,
        at: "strength of one tablet",
        method: "dilution-tablets",
        result: "strength",
        unit: "mg/L",
        tolerance: Tolerance::Share(0.001),
        base: &[],
        rows: &[
            (&[("tablet", "5 mg"), ("wanted", "5 ppm"), ("volume", "1 L")], 5.0),
            (&[("tablet", "20 mg"), ("wanted", "4 ppm"), ("volume", "5 L")], 4.0),
            (&[("tablet", "40 mg"), ("wanted", "4 ppm"), ("volume", "10 L")], 4.0),
            (&[("tablet", "100 mg"), ("wanted", "5 ppm"), ("volume", "20 L")], 5.0),
        ],
        wrong: &[],
    },
    Group {
        from: MSF,
        at: "10 mg active for 5 L",
        method: "dilution-tablets",
        result: "strength",
        unit: "mg/L",
        tolerance: Tolerance::Share(0.001),
        base: &[],
        rows: &[(&[("tablet", "10 mg"), ("wanted", "2 ppm"), ("volume", "5 L")], 2.0)],
        wrong: &[],
    },
    Group {
        from: WHO_2014,
        at: "annex G, table G.1",
        method: "mix-strength",
        result: "",
        unit: "mg/L",
        tolerance: Tolerance::Share(0.001),
        base: &[],
        rows: &[
            (&[("stock", "5 %"), ("concentrate", "10 mL"), ("water", "0.99 L")], 500.0),
            (&[("stock", "2.5 %"), ("concentrate", "20 mL"), ("water", "0.98 L")], 500.0),
        ],
        wrong: &[],
    },
    Group {
        from: OUTBREAK,
        at: "appendix 9",
        method: "mix-strength",
        result: "",
        unit: "mg/L",
        tolerance: Tolerance::Share(0.001),
        base: &[("stock", "5 %")],
        rows: &[
            (&[("concentrate", "10 mL"), ("volume", "1 L")], 500.0),
            (&[("concentrate", "40 mL"), ("volume", "1 L")], 2000.0),
            (&[("concentrate", "400 mL"), ("volume", "1 L")], 20_000.0),
        ],
        wrong: &[(
            &[("concentrate", "400 mL"), ("water", "1 L")],
            20_000.0,
            14_280.0,
            "printed as \"in 1 L of water\"; 400 mL added to 1 L make 1.4 L of 1.43 %. Right only when made up to 1 L",
        )],
    },
    Group {
        from: OUTBREAK,
        at: "appendix 14: one stock of 1 %",
        method: "mix-strength",
        result: "",
        unit: "mg/L",
        tolerance: Tolerance::Share(0.025),
        base: &[],
        rows: &[
            (&[("stock", "5 %"), ("concentrate", "250 mL"), ("water", "1 L")], 10_000.0),
            (&[("stock", "15 %"), ("concentrate", "70 mL"), ("water", "1 L")], 10_000.0),
        ],
        wrong: &[(
            &[("stock", "5 %"), ("concentrate", "250 mL"), ("volume", "1 L")],
            10_000.0,
            12_500.0,
            "250 mL of 5 % make 1 % when added to 1 L; made up to 1 L they make 1.25 %",
        )],
    },
    Group {
        from: KANSAS,
        at: "one fluid ounce in a gallon",
        method: "mix-strength",
        result: "",
        unit: "mg/L",
        tolerance: Tolerance::Share(0.005),
        base: &[("stock", "5.25 %")],
        rows: &[(&[("concentrate", "1 US fl oz"), ("volume", "1 US gal")], 410.0)],
        wrong: &[],
    },
];
