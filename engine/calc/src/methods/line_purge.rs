//! How long to pump until a hose has been filled anew a number of times.

use super::given::Given;
use super::input::{Input, Kind, Lowest, Presence};
use super::{Answer, Method, MethodError};
use crate::quantity::{Duration, Quantity, Rounding, Unit};
use std::f64::consts::PI;

/// A purge longer than this is a slip in a figure, not a procedure.
const HOURS_MOST: f64 = 24.0;

pub(crate) static METHOD: Method = Method {
    name: "line-purge",
    purpose: "How long to pump to move a number of line volumes through a hose.",
    formula: "time = volumes × (π/4 × bore² × length + manifold) ÷ flow",
    inputs: &[
        Input {
            name: "bore",
            meaning: "inner diameter of the hose; the largest within its tolerance",
            kind: Kind::Of("mm"),
            from: Lowest::At(1.0),
            to: 100.0,
            presence: Presence::Required,
        },
        Input {
            name: "length",
            meaning: "length of the hose",
            kind: Kind::Of("m"),
            from: Lowest::At(0.1),
            to: 200.0,
            presence: Presence::Required,
        },
        Input {
            name: "manifold",
            meaning: "dead volume of pump, strainer and fittings",
            kind: Kind::Of("L"),
            from: Lowest::At(0.0),
            to: 100.0,
            presence: Presence::Default("0 L"),
        },
        Input {
            name: "flow",
            meaning: "flow through the hose, constant; the smallest to be expected",
            kind: Kind::Of("L/min"),
            from: Lowest::Above(0.0),
            to: 1000.0,
            presence: Presence::Required,
        },
        Input {
            name: "volumes",
            meaning: "how many times the whole line is to be filled anew",
            kind: Kind::Number,
            from: Lowest::At(1.0),
            to: 20.0,
            presence: Presence::Required,
        },
        Input {
            name: "round_up",
            meaning: "step to which the time is rounded up",
            kind: Kind::Of("s"),
            from: Lowest::At(1.0),
            to: 600.0,
            presence: Presence::Default("1 s"),
        },
    ],
    rounding: "The time is rounded up to a whole step and the volume up to 0.01 L, so that a purge never ends \
               early. A time within one part in 10⁹ of a step is on it.",
    source: "Geometry of a full cylinder and plug flow at a constant rate (derived; hose volumes agree with \
             NWCG table 3.1, read). Plug flow is the lower bound for a clean hose: where liquids mix, as in a \
             tank, a filter or a wide manifold, it does not hold.",
    figure,
};

fn figure(given: &Given) -> Result<Answer, MethodError> {
    let (litre, second) = (Unit::parse("L")?, Unit::parse("s")?);
    let hose = hose_litres(given.value("bore")?, given.value("length")?);
    let moved = given.value("volumes")? * (hose + given.value("manifold")?);
    let seconds = moved / given.value("flow")? * 60.0;
    if seconds > HOURS_MOST * 3600.0 {
        return Err(
            given.refuse(format!("the purge would take over {HOURS_MOST} h; look at the flow and the bore"))
        );
    }
    let step = Duration::from_quantity(given.quantity("round_up")?)?;
    // Counted in whole steps, so that the result is an exact multiple. However little is moved, it takes a step.
    let steps = Rounding::Up.whole(seconds * 1000.0 / step.as_millis() as f64);
    let result = Duration::from_millis(steps as u64 * step.as_millis()).to_quantity()?;
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
    Ok(Answer { lines, result, also: vec![("volume", volume)] })
}

/// The volume of a hose in litres: a millimetre squared times a metre is a millilitre.
fn hose_litres(bore_mm: f64, length_m: f64) -> f64 {
    PI / 4.0 * bore_mm * bore_mm * length_m / 1000.0
}

#[cfg(test)]
mod tests {
    use super::super::tests::{inputs, refusal, work};
    use super::{MethodError, hose_litres};

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
        assert_eq!(worked.duration().unwrap().to_string(), "2 min 40 s");
        assert_eq!(worked.inputs.len(), 6);
    }

    /// US gallons per 100 ft of hose: The Farm and Garden Rule-Book (read). Its 6 in row prints 146.90; the
    /// formula gives 146.88, within the 0.1 % that tables are held to.
    #[test]
    fn published_hose_volumes() {
        let gallons = |bore_in: f64, feet: f64| hose_litres(bore_in * 25.4, feet * 0.3048) / 3.785_411_784;
        for (bore_in, printed) in [
            (0.5, 1.02),
            (1.0, 4.08),
            (1.5, 9.18),
            (2.0, 16.32),
            (2.5, 25.50),
            (3.0, 36.72),
            (4.0, 65.28),
            (6.0, 146.90),
        ] {
            assert!((gallons(bore_in, 100.0) / printed - 1.0).abs() < 1e-3, "{bore_in} in");
        }
        // NWCG table 3.1 (read), printed to one decimal; its ¾ in row is 1.2 where the formula gives 1.148.
        for (bore_in, feet, printed) in
            [(1.5, 100.0, 9.2), (1.0, 100.0, 4.1), (0.75, 50.0, 1.2), (0.625, 50.0, 0.8)]
        {
            assert!((gallons(bore_in, feet) - printed).abs() < 0.06, "{bore_in} in × {feet} ft");
        }
        // Derived: millilitres in a metre of ¼, ⅜ and ½ in hose.
        for (bore_in, printed) in [(0.25, 31.67), (0.375, 71.26), (0.5, 126.68)] {
            assert!((hose_litres(bore_in * 25.4, 1.0) * 1000.0 - printed).abs() < 0.005, "{bore_in} in");
        }
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
            ("bore", "101 mm"),
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
