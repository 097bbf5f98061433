//! How long to pump until a hose has been filled anew a number of times.

use super::error::MethodError;
use super::given::Given;
use super::input::{Input, Kind, Lowest};
use super::method::{Answer, Method};
use super::rounded::{STEP_OF_TIME, digits, waited};
use super::source::SourceKind::{AgencyTable, Derived};
use super::source::{Basis, Mark, Source};
use crate::quantity::{Quantity, Rounding, Unit};
use std::f64::consts::PI;

pub(crate) static METHOD: Method = Method {
    name: "line-purge",
    purpose: "How long to pump to move a number of line volumes through a hose.",
    formula: "time = volumes × (π/4 × bore² × length + manifold) ÷ flow",
    inputs: &[
        Input::in_unit(
            "bore",
            "inner diameter of the hose; the largest within its tolerance",
            "mm",
            Lowest::At(1.0),
            200.0,
        ),
        Input::in_unit("length", "length of the hose", "m", Lowest::At(0.1), 200.0),
        Input::in_unit("manifold", "dead volume of pump, strainer and fittings", "L", Lowest::At(0.0), 100.0)
            .or("0 L"),
        Input::in_unit(
            "flow",
            "flow through the hose, constant; the smallest to be expected",
            "L/min",
            Lowest::Above(0.0),
            1000.0,
        ),
        Input::new(
            "volumes",
            "how many times the whole line is to be filled anew",
            Kind::Number,
            Lowest::At(1.0),
            20.0,
        ),
        STEP_OF_TIME,
    ],
    rounding: "The time is rounded up to a whole step and the volume up to 0.01 L, so that a purge never ends \
               early. A time within one part in 10⁹ of a step is on it.",
    source: Basis {
        sources: &[
            Source::new(Derived, "Geometry of a full cylinder and plug flow at a constant rate"),
            Source::new(AgencyTable(Mark::Read), "Volumes of hoses: NWCG, Firefighter Math, table 3.1"),
        ],
        holds: "Plug flow is the lower bound for a clean hose: where liquids mix, as in a tank, a filter \
                or a wide manifold, it does not hold.",
    },
    example: &[
        ("bore", "6 mm"),
        ("length", "12 m"),
        ("manifold", "0.15 L"),
        ("flow", "0.30 L/min"),
        ("volumes", "3"),
        ("round_up", "5 s"),
    ],
    figure,
};

fn figure(given: &Given) -> Result<Answer, MethodError> {
    let (litre, second) = (Unit::parse("L")?, Unit::parse("s")?);
    let hose = hose_litres(given.value("bore")?, given.value("length")?);
    let moved = given.value("volumes")? * (hose + given.value("manifold")?);
    let seconds = moved / given.value("flow")? * 60.0;
    let result = waited(given, seconds)?;
    let volume = Quantity::worked(moved, litre, 2, Rounding::Up)?;
    let lines = vec![
        format!(
            "hose volume = π/4 × ({})² × {} = {}",
            given.quantity("bore")?,
            given.quantity("length")?,
            Quantity::worked(hose, litre, 3, Rounding::Nearest)?
        ),
        format!(
            "volume to move = {} × ({} + {}) = {volume}",
            given.quantity("volumes")?,
            Quantity::worked(hose, litre, 3, Rounding::Nearest)?,
            given.quantity("manifold")?
        ),
        format!(
            "time = {volume} ÷ {} = {}, up to a whole {}: {result}",
            given.quantity("flow")?,
            Quantity::worked(seconds, second, 1, Rounding::Nearest)?,
            given.quantity("round_up")?
        ),
    ];
    Ok(Answer {
        lines,
        result,
        also: vec![("volume", volume), ("hose", digits(hose, 4, litre, Rounding::Up)?)],
    })
}

/// The volume of a hose in litres: a millimetre squared times a metre is a millilitre.
fn hose_litres(bore_mm: f64, length_m: f64) -> f64 {
    PI / 4.0 * bore_mm * bore_mm * length_m / 1000.0
}

#[cfg(test)]
mod tests {
    use super::super::tests::{inputs, refusal, work};
    use super::{MethodError, hose_litres};
    use crate::quantity::Duration;

    fn purge(length: &str, flow: &str) -> super::super::Worked {
        work(
            "line-purge",
            &[
                ("bore", "6 mm"),
                ("length", length),
                ("manifold", "0.15 L"),
                ("flow", flow),
                ("volumes", "3"),
                ("round_up", "5 s"),
            ],
        )
    }

    /// Our own worked table for the demo machine (derived).
    #[test]
    fn the_demo_hoses() {
        for (length, volume, fine, medium) in [
            ("4 m", "0.79 L", "160 s", "90 s"),
            ("12 m", "1.47 L", "295 s", "165 s"),
            ("20 m", "2.15 L", "430 s", "235 s"),
        ] {
            for (flow, time) in [("0.30 L/min", fine), ("0.55 L/min", medium)] {
                let worked = purge(length, flow);
                assert_eq!(worked.result.to_string(), time, "{length} at {flow}");
                assert_eq!(worked.also[0].1.to_string(), volume, "{length}");
            }
        }
    }

    #[test]
    fn the_working_is_shown() {
        let worked = purge("4 m", "0.30 L/min");
        assert_eq!(
            worked.lines,
            [
                "hose volume = π/4 × (6 mm)² × 4 m = 0.113 L",
                "volume to move = 3 × (0.113 L + 0.15 L) = 0.79 L",
                "time = 0.79 L ÷ 0.30 L/min = 157.9 s, up to a whole 5 s: 160 s",
            ]
        );
        assert_eq!(Duration::from_quantity(&worked.result).unwrap().to_string(), "2 min 40 s");
        assert_eq!(worked.inputs.len(), 6);
    }

    /// 1 L/min × 90 s must be 90 s, though π/4 × bore² × length is never a round figure: the manifold is made to
    /// carry the round part and the hose is what is left over from it.
    #[test]
    fn an_exact_multiple_is_not_rounded_up_a_step() {
        let hose = hose_litres(10.0, 1.0);
        let manifold = format!("{:.12} L", 0.5 - hose);
        let base = [
            ("bore", "10 mm"),
            ("length", "1 m"),
            ("manifold", &*manifold),
            ("flow", "1 L/min"),
            ("round_up", "5 s"),
        ];
        for (volumes, time) in [("3", "90 s"), ("1", "30 s"), ("7", "210 s"), ("3.01", "95 s")] {
            let mut inputs = base.to_vec();
            inputs.push(("volumes", volumes));
            assert_eq!(work("line-purge", &inputs).result.to_string(), time);
        }
    }

    /// Longer, wider, slower or more often never takes less time; the time is a multiple of the step and covers
    /// the volume.
    #[test]
    fn time_grows_with_every_cause() {
        let seconds = |bore: u32, length: u32, flow: u32, volumes: u32| {
            let texts =
                [format!("{bore} mm"), format!("{length} m"), format!("{flow} L/min"), format!("{volumes}")];
            let named =
                ["bore", "length", "flow", "volumes"].into_iter().zip(texts.iter().map(String::as_str));
            work("line-purge", &named.chain([("round_up", "7 s")]).collect::<Vec<_>>()).result.value()
        };
        let mut seed = 7_u64;
        let mut draw = |most: u64| {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            ((seed >> 33) % most) as u32 + 1
        };
        for _ in 0..300 {
            let (bore, length, flow, volumes) = (draw(30), draw(50), draw(90) + 9, draw(19));
            let time = seconds(bore, length, flow, volumes);
            let exact = f64::from(volumes) * hose_litres(bore.into(), length.into()) / f64::from(flow) * 60.0;
            assert!(time >= exact * (1.0 - 1e-9) && time < exact + 7.0, "{time} for {exact}");
            assert!((time / 7.0).fract() < 1e-9);
            assert!(seconds(bore + 1, length, flow, volumes) >= time);
            assert!(seconds(bore, length + 1, flow, volumes) >= time);
            assert!(seconds(bore, length, flow - 1, volumes) >= time);
            assert!(seconds(bore, length, flow, volumes + 1) >= time);
        }
    }

    #[test]
    fn inputs_outside_their_range_are_named() {
        let good = [("bore", "6 mm"), ("length", "4 m"), ("flow", "0.3 L/min"), ("volumes", "3")];
        for (name, bad) in [
            ("bore", "0.9 mm"),
            ("bore", "201 mm"),
            ("length", "9 cm"),
            ("length", "201 m"),
            ("flow", "0 L/min"),
            ("flow", "1001 L/min"),
            ("volumes", "0.5"),
            ("volumes", "21"),
            ("manifold", "-1 mL"),
            ("manifold", "101 L"),
            ("round_up", "0 s"),
        ] {
            let mut asked = inputs(&good);
            asked.extend(inputs(&[(name, bad)]));
            match refusal("line-purge", &asked) {
                MethodError::OutOfRange { input, .. } => assert_eq!(input, name),
                other => panic!("{name} {bad}: {other}"),
            }
        }
        let mut slow = inputs(&good);
        slow.extend(inputs(&[("flow", "0.0001 L/min")]));
        assert!(matches!(refusal("line-purge", &slow), MethodError::Refused { .. }));
    }
}
