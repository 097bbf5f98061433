//! Every result is on the side that its method calls cautious. Worked by hand from the printed formulas, with figures that
//! come out differently when they are rounded up, down or to the nearest.

use super::tests::{inputs, refusal, work};
use super::{Worked, method};

/// A method, its inputs, and what must come out: the result under the empty name, what is told beside it under its own.
type Case = (&'static str, &'static [(&'static str, &'static str)], &'static [(&'static str, &'static str)]);

const LIFT: [(&str, &str); 9] = [
    ("vertical", "75 cm"),
    ("distance", "25 cm"),
    ("asymmetry", "0°"),
    ("frequency", "0.2 /min"),
    ("duration", "0.25 h"),
    ("recovery", "1 h"),
    ("coupling", "good"),
    ("exclusion", "none"),
    ("load", "10 kg"),
];

const CASES: &[Case] = &[
    // 13 ÷ 1.3558179 = 9.5883: a torque is never passed.
    ("torque-unit", &[("torque", "13 N·m"), ("unit", "lbf·ft")], &[("", "9.58 lbf·ft")]),
    // 82 ÷ (0.2 × 0.012) = 34.1667 kN, ÷ 1.3 = 26.2821, ÷ 0.7 = 48.8095: the least force down, the greatest up.
    (
        "clamp-force",
        &[("nut_factor", "0.20"), ("diameter", "12 mm"), ("torque", "82 N·m"), ("scatter", "30 %")],
        &[("", "26.2 kN"), ("nominal", "34.2 kN"), ("greatest", "48.9 kN")],
    ),
    // 12 × 0.3 = 3.6, seven steps of 0.5; and exactly one step is still a step.
    ("torque-stage", &[("torque", "12 N·m"), ("stage", "30 %"), ("step", "0.5 N·m")], &[("", "3.5 N·m")]),
    ("torque-stage", &[("torque", "1 N·m"), ("stage", "10 %"), ("step", "0.1 N·m")], &[("", "0.1 N·m")]),
    // 1000 mg/L in 1000.5 mL of mix: 1000 × 1000.5 ÷ 30 000 = 33.35, up to 34 mL; 966.5 mL of water, down.
    (
        "dilution-liquid",
        &[("stock", "3 %"), ("wanted", "1000 mg/L"), ("volume", "1000.5 mL"), ("round_up", "1 mL")],
        &[("", "34 mL"), ("water", "966 mL")],
    ),
    // 5000 mg/L × 10 L ÷ 0.7 = 71.43 g, up to 71.5 g; 71.5 × 0.7 ÷ 10 L = 5005 mg/L.
    (
        "dilution-powder",
        &[("active", "70 %"), ("wanted", "0.5 %"), ("volume", "10 L"), ("round_up", "0.1 g")],
        &[("", "71.5 g"), ("strength", "5005 mg/L")],
    ),
    // 60 × 10⁹ × 100 × 10⁻¹² = 6 s, × ln(400) = 35.9488: up, and up to the step of 5 s.
    (
        "static-discharge",
        &[
            ("resistance", "60 Gohm"),
            ("capacitance", "100 pF"),
            ("from", "20 kV"),
            ("to", "50 V"),
            ("round_up", "5 s"),
        ],
        &[("", "40 s"), ("exact", "36.0 s"), ("constant", "6.00 s")],
    ),
];

/// What comes out under a name; the result under the empty one.
fn result_named(worked: &Worked, name: &str) -> String {
    let beside = worked.also.iter().find(|(one, _)| *one == name);
    beside.map_or(&worked.result, |(_, quantity)| quantity).to_string()
}

#[test]
fn results_are_on_the_cautious_side() {
    for (name, given, wanted) in CASES {
        let worked = work(name, given);
        for (of, figure) in *wanted {
            assert_eq!(result_named(&worked, of), *figure, "{of} of `{name}`");
        }
    }
}

/// HM = 25 ÷ 27 gives 21.296 kg, down; 10 ÷ 23 = 0.4348, up (DHHS (NIOSH) 94-110, 2nd hand).
#[test]
fn a_lift_is_never_made_light() {
    for (horizontal, allowed, index) in [("27 cm", "21.2 kg", "0.47"), ("25 cm", "23.0 kg", "0.44")] {
        let given: Vec<_> = LIFT.into_iter().chain([("horizontal", horizontal)]).collect();
        let worked = work("lifting", &given);
        let found = ["RWL", "LI", ""].map(|name| result_named(&worked, name));
        assert_eq!(found, [allowed, index, "1 person"]);
    }
}

/// A mix that rounding makes stronger than the label allows is refused; one exactly at its limit is not.
#[test]
fn what_rounding_reaches_is_held_against_the_label() {
    let given = |most| {
        inputs(&[
            ("active", "70 %"),
            ("wanted", "0.5 %"),
            ("volume", "10 L"),
            ("round_up", "0.1 g"),
            ("at_most", most),
        ])
    };
    assert!(refusal("dilution-powder", &given("5004 mg/L")).to_string().contains("5005 mg/L"));
    method("dilution-powder").unwrap().work(&given("5005 mg/L")).unwrap();
}

#[test]
fn less_than_a_step_of_the_wrench_is_refused() {
    let given = inputs(&[("torque", "1 N·m"), ("stage", "5 %"), ("step", "0.2 N·m")]);
    assert!(refusal("torque-stage", &given).to_string().contains("finer wrench"));
}
