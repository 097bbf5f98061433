//! Charge times and states of charge.

use super::{Group, Tolerance};

const fn charge(source: &'static str, tolerance: Tolerance, rows: &'static [super::Row]) -> Group {
    Group {
        source,
        mark: "read",
        method: "charge-time",
        of: "",
        unit: "h",
        tolerance,
        base: &[("capacity", "100 Ah"), ("current", "10 A")],
        rows,
        wrong: &[],
    }
}

const REST: &[(&str, &str)] =
    &[("chemistry", "flooded-lead-acid"), ("cells", "6"), ("uncertainty", "0 V"), ("rest", "24 h")];

const fn state(source: &'static str, rows: &'static [super::Row], wrong: &'static [super::Wrong]) -> Group {
    Group {
        source,
        mark: "read",
        method: "rest-voltage",
        of: "",
        unit: "%",
        // A hundredth of a volt is a little over one percent.
        tolerance: Tolerance::Within(1.4),
        base: REST,
        rows,
        wrong,
    }
}

pub(super) static GROUPS: &[Group] = &[
    charge("infinitumstore.com", Tolerance::Share(0.001), &[(&[("efficiency", "80 %")], 12.5)]),
    charge("calculatorlib.com", Tolerance::Share(0.001), &[(&[("efficiency", "85 %")], 11.76)]),
    charge(
        "temgot.com",
        Tolerance::Share(0.005),
        &[
            (&[("charged", "20 %"), ("efficiency", "95 %")], 8.4),
            (&[("charged", "20 %"), ("efficiency", "85 %")], 9.4),
        ],
    ),
    // These multiply by one and the loss: 1.4 and 1.2.
    charge(
        "electricalmastar.com: 40 % more",
        Tolerance::Share(0.005),
        &[(&[("current", "11 A"), ("efficiency", "71.4285714286 %")], 12.7)],
    ),
    charge(
        "reference.com: 20 % more",
        Tolerance::Share(0.005),
        &[(&[("capacity", "1000 mAh"), ("current", "145 mA"), ("efficiency", "83.3333333333 %")], 8.28)],
    ),
    state(
        "Battery Council International, flooded, 27 °C (studylib.net/doc/18054160)",
        &[
            (&[("voltage", "12.65 V")], 100.0),
            (&[("voltage", "12.45 V")], 75.0),
            (&[("voltage", "12.24 V")], 50.0),
            (&[("voltage", "12.06 V")], 25.0),
            (&[("voltage", "11.89 V")], 0.0),
        ],
        &[],
    ),
    state(
        "motorhome.com, RV column",
        &[(&[("voltage", "12.66 V")], 100.0), (&[("voltage", "12.45 V")], 75.0)],
        &[
            (
                &[("voltage", "12.30 V")],
                50.0,
                57.0,
                "the column is for batteries under small loads; BCI gives 57 % at rest, and 12.24 V for one half",
            ),
            (
                &[("voltage", "12.15 V")],
                25.0,
                37.0,
                "the column is for batteries under small loads; BCI gives 37 % at rest, and 12.06 V for a quarter",
            ),
        ],
    ),
    // A meter of 1 % is off by 0.12 V, about 15 points.
    Group {
        tolerance: Tolerance::Within(1.5),
        ..state(
            "lists.ettus.com: a 1 % meter is worth about 15 points",
            &[(&[("voltage", "12.45 V"), ("uncertainty", "0.12 V")], 60.0)],
            &[],
        )
    },
];
