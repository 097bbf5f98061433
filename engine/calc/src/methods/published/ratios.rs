//! Ratios and doses of concentrates.

use super::{Document, Group, Tolerance};
use crate::methods::source::{Mark, SourceKind};

const WHO_2014: Document = Document {
    title: "WHO, Infection prevention and control of epidemic-prone respiratory infections, 2014",
    kind: SourceKind::AgencyTable(Mark::Read),
};
const HALDIMAND: Document = Document {
    title: "Haldimand-Norfolk Health Unit, mixing of chlorine bleach solution",
    kind: SourceKind::AgencyTable(Mark::Read),
};
const WASHINGTON: Document = Document {
    title: "Washington Administrative Code 296-823-14055",
    kind: SourceKind::AgencyTable(Mark::Read),
};
const MISSOURI: Document = Document {
    title: "Missouri Department of Transportation, Engineering Policy Guide",
    kind: SourceKind::AgencyTable(Mark::Read),
};
const NEW_ENGLAND: Document = Document {
    title: "New England Vegetable Management Guide (extension services of six universities)",
    kind: SourceKind::AgencyTable(Mark::Read),
};
const CAROLINA: Document = Document {
    title: "NC State Extension, backpack sprayer calibration worksheet",
    kind: SourceKind::AgencyTable(Mark::Read),
};

pub(super) static GROUPS: &[Group] = &[
    Group {
        from: WHO_2014,
        at: "annex G, table G.1: 1 part to 99 parts",
        method: "dilution-ratio",
        result: "",
        unit: "mL",
        tolerance: Tolerance::Share(0.001),
        base: &[("parts", "100"), ("reading", "in-all")],
        rows: &[(&[("water", "99 L")], 1000.0)],
        wrong: &[],
    },
    // Cups and spoons, in whole millilitres.
    Group {
        from: HALDIMAND,
        at: "1:10, with the water counted in",
        method: "dilution-ratio",
        result: "",
        unit: "mL",
        tolerance: Tolerance::Within(1.0),
        base: &[("parts", "10"), ("reading", "in-all")],
        rows: &[(&[("water", "2250 mL")], 250.0), (&[("water", "562 mL")], 62.0)],
        wrong: &[],
    },
    Group {
        from: HALDIMAND,
        at: "1:50 and 1:500, to that many parts of water",
        method: "dilution-ratio",
        result: "",
        unit: "mL",
        tolerance: Tolerance::Share(0.001),
        base: &[("reading", "of-water")],
        rows: &[
            (&[("parts", "50"), ("water", "1000 mL")], 20.0),
            (&[("parts", "50"), ("water", "5000 mL")], 100.0),
            (&[("parts", "500"), ("water", "500 mL")], 1.0),
            (&[("parts", "500"), ("water", "10 L")], 20.0),
        ],
        wrong: &[],
    },
    // Spoons and thirds of a cup.
    Group {
        from: WASHINGTON,
        at: "made up to a quart",
        method: "dilution-ratio",
        result: "",
        unit: "mL",
        tolerance: Tolerance::Within(1.0),
        base: &[("volume", "946 mL"), ("reading", "in-all")],
        rows: &[(&[("parts", "100")], 10.0), (&[("parts", "10")], 94.0)],
        wrong: &[],
    },
    // A solution of 10 % is one part in ten.
    Group {
        from: MISSOURI,
        at: "table 821.15.1, in ounces: 10 and 5 % solutions",
        method: "dilution-ratio",
        result: "",
        unit: "US fl oz",
        tolerance: Tolerance::Share(0.005),
        base: &[("reading", "in-all"), ("round_up", "0.1 mL")],
        rows: &[
            (&[("parts", "10"), ("volume", "1 US gal")], 12.8),
            (&[("parts", "20"), ("volume", "1 US gal")], 6.4),
            (&[("parts", "10"), ("volume", "1 US pt")], 1.6),
            (&[("parts", "20"), ("volume", "1 US pt")], 0.8),
            (&[("parts", "20"), ("volume", "2 US gal")], 12.8),
        ],
        wrong: &[],
    },
    Group {
        from: MISSOURI,
        at: "table 821.15.1, in quarts: 50, 25 and 20 % solutions",
        method: "dilution-ratio",
        result: "",
        unit: "US qt",
        tolerance: Tolerance::Share(0.001),
        base: &[("reading", "in-all"), ("round_up", "0.1 mL")],
        rows: &[
            (&[("parts", "2"), ("volume", "1 US gal")], 2.0),
            (&[("parts", "2"), ("volume", "2 US gal")], 4.0),
            (&[("parts", "4"), ("volume", "1 US gal")], 1.0),
            (&[("parts", "5"), ("volume", "2 US gal")], 1.6),
        ],
        wrong: &[],
    },
    // Half a pint, a pint, a quart and a gallon in 100 gallons; the table writes 8 and 32 fl oz as half a pint and a quart.
    Group {
        from: NEW_ENGLAND,
        at: "amounts for 100 and for 25 gallons",
        method: "dilution-dose",
        result: "",
        unit: "US fl oz",
        tolerance: Tolerance::Share(0.002),
        base: &[("water", "25 US gal"), ("round_up", "0.1 mL")],
        rows: &[
            (&[("dose", "0.08 US fl oz/US gal")], 2.0),
            (&[("dose", "0.16 US fl oz/US gal")], 4.0),
            (&[("dose", "0.32 US fl oz/US gal")], 8.0),
            (&[("dose", "1.28 US fl oz/US gal")], 32.0),
        ],
        wrong: &[],
    },
    // The last is printed as 2 1/2 tablespoons.
    Group {
        from: NEW_ENGLAND,
        at: "amounts for 100 gallons and for one, in spoons",
        method: "dilution-dose",
        result: "",
        unit: "US tsp",
        tolerance: Tolerance::Share(0.05),
        base: &[("water", "1 US gal"), ("round_up", "0.1 mL")],
        rows: &[
            (&[("dose", "0.08 US fl oz/US gal")], 0.5),
            (&[("dose", "0.16 US fl oz/US gal")], 1.0),
            (&[("dose", "0.32 US fl oz/US gal")], 2.0),
            (&[("dose", "1.28 US fl oz/US gal")], 7.5),
        ],
        wrong: &[],
    },
    Group {
        from: CAROLINA,
        at: "steps 6 and 7: 3 gallons at 1.06 oz each",
        method: "dilution-dose",
        result: "",
        unit: "US fl oz",
        tolerance: Tolerance::Share(0.002),
        base: &[("round_up", "0.1 mL")],
        rows: &[(&[("dose", "1.06 US fl oz/US gal"), ("water", "3 US gal")], 3.18)],
        wrong: &[],
    },
];
