//! Stored energy and discharge.

use super::{Group, Tolerance};

const fn energy(
    source: &'static str,
    mark: &'static str,
    base: &'static [(&'static str, &'static str)],
    rows: &'static [super::Row],
) -> Group {
    Group {
        source,
        mark,
        method: "stored-energy",
        of: "",
        unit: "mJ",
        tolerance: Tolerance::Share(0.001),
        base,
        rows,
        wrong: &[],
    }
}

pub(super) static GROUPS: &[Group] = &[
    Group {
        // The page prints two digits.
        tolerance: Tolerance::Within(0.051),
        ..energy(
            "rich-fs.biz/reo-area/?p=205 (cites OHM 1995)",
            "read",
            &[("capacitance", "100 pF")],
            &[(&[("voltage", "3 kV")], 0.45), (&[("voltage", "5 kV")], 1.3), (&[("voltage", "10 kV")], 5.0)],
        )
    },
    energy(
        "liquisearch.com/static_electricity/energies_involved",
        "read",
        &[],
        &[
            (&[("capacitance", "400 pF"), ("voltage", "50 kV")], 500.0),
            (&[("capacitance", "300 pF"), ("voltage", "20 kV")], 60.0),
        ],
    ),
    energy(
        "CLC/TR 50404, table of energies at 10 kV",
        "memory",
        &[("voltage", "10 kV")],
        &[
            (&[("capacitance", "1 pF")], 0.05),
            (&[("capacitance", "10 pF")], 0.5),
            (&[("capacitance", "100 pF")], 5.0),
            (&[("capacitance", "300 pF")], 15.0),
            (&[("capacitance", "1000 pF")], 50.0),
        ],
    ),
    Group {
        of: "charge",
        unit: "µC",
        tolerance: Tolerance::Share(0.005),
        ..energy(
            "mail-archive emc-pstc msg65744: a line filter against the 45 µC of IEC 61010-1",
            "read",
            &[("capacitance", "4.4 µF")],
            &[(&[("voltage", "80 V")], 352.0), (&[("voltage", "10.2 V")], 45.0)],
        )
    },
    Group {
        source: "body of 100 pF + 1.5 kΩ and 150 pF + 330 Ω (values: probsee.com), 300 pF + 100 MΩ",
        mark: "derived",
        method: "static-discharge",
        of: "constant",
        unit: "s",
        tolerance: Tolerance::Share(0.001),
        base: &[("from", "10 kV"), ("to", "100 V")],
        rows: &[
            (&[("resistance", "1.5 kohm"), ("capacitance", "100 pF")], 150e-9),
            (&[("resistance", "330 ohm"), ("capacitance", "150 pF")], 49.5e-9),
            (&[("resistance", "100 Mohm"), ("capacitance", "300 pF")], 0.030),
        ],
        wrong: &[],
    },
    Group {
        source: "34 V a second after unplugging (IEC 60335-1, classcycles.fr): the greatest resistance for it",
        mark: "derived",
        method: "static-discharge",
        of: "exact",
        unit: "s",
        // Rounded up to three digits.
        tolerance: Tolerance::Share(0.011),
        base: &[("from", "325 V"), ("to", "34 V")],
        rows: &[
            (&[("resistance", "942 kohm"), ("capacitance", "0.47 µF")], 1.0),
            (&[("resistance", "4.43 Mohm"), ("capacitance", "0.1 µF")], 1.0),
            (
                &[("resistance", "100 Mohm"), ("capacitance", "300 pF"), ("from", "10 kV"), ("to", "100 V")],
                0.138,
            ),
        ],
        wrong: &[],
    },
];
