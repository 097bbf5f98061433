//! How much powder to dissolve in a volume.

use super::given::Given;
use super::input::{Input, Kind, Lowest, Presence};
use super::strength::{AT_MOST, VOLUME, WANTED, made_up, reached};
use super::{Answer, Method, MethodError};
use crate::quantity::{Quantity, Rounding, Unit};

pub(crate) static METHOD: Method = Method {
    name: "dilution-powder",
    purpose: "How much powder to dissolve and make up with water to a volume.",
    formula: "powder = wanted × volume ÷ active",
    inputs: &[
        Input {
            name: "active",
            meaning: "active part of the powder, by mass",
            kind: Kind::Of("%"),
            from: Lowest::At(1.0),
            to: 100.0,
            presence: Presence::Required,
        },
        WANTED,
        VOLUME,
        AT_MOST,
        Input {
            name: "round_up",
            meaning: "step of the balance, to which the powder is rounded up",
            kind: Kind::Of("g"),
            from: Lowest::At(0.01),
            to: 1000.0,
            presence: Presence::Default("0.1 g"),
        },
    ],
    rounding: "Rounded up, so that the mix is never too weak; what it then reaches is checked against the \
               label's limit.",
    source: "Grams per litre = wanted % ÷ active % × 1000: CDC Guideline for Disinfection and Sterilization, \
             appendix E (read).",
    figure,
};

fn figure(given: &Given) -> Result<Answer, MethodError> {
    let gram = Unit::parse("g")?;
    let (active, volume) = (given.value("active")? / 100.0, given.value("volume")?);
    let exact = given.value("wanted")? * volume / active / 1000.0;
    let step = given.value("round_up")?;
    let weighed = Rounding::Up.whole(exact / step) * step;
    let result = Quantity::worked(weighed, gram, 3, Rounding::Up)?.trimmed();
    let strength = reached(given, weighed * 1000.0 * active / volume)?;
    let working = format!(
        "powder = {} × {} ÷ {} = {}, up to a whole {}: {result}",
        given.quantity("wanted")?,
        given.quantity("volume")?,
        given.quantity("active")?,
        Quantity::worked(exact, gram, 2, Rounding::Nearest)?,
        given.quantity("round_up")?
    );
    made_up(given, working, result, Vec::new(), strength)
}

#[cfg(test)]
mod tests {
    use super::super::tests::work;

    #[test]
    fn published_rows() {
        for (active, wanted, printed, ours) in [
            // CDC appendix E, example 2 (read).
            ("35 %", "0.5 %", 14.3, "14.3 g"),
            // WHO laboratory biosafety table 12 (read): printed to the nearest, ours goes up.
            ("70 %", "0.1 %", 1.4, "1.5 g"),
            ("70 %", "0.5 %", 7.0, "7.2 g"),
            ("60 %", "0.1 %", 1.7, "1.7 g"),
            ("60 %", "0.5 %", 8.5, "8.4 g"),
            // Cholera appendix 9 (read).
            ("70 %", "0.05 %", 0.7, "0.8 g"),
            ("70 %", "0.2 %", 3.0, "2.9 g"),
        ] {
            let worked =
                work("dilution-powder", &[("active", active), ("wanted", wanted), ("volume", "1 L")]);
            assert_eq!(worked.result.to_string(), ours, "{active} to {wanted}");
            // Printed doses are rounded for a spoon; they and ours stay within a tenth of a gram or 8 %.
            assert!(
                (worked.result.value() - printed).abs() < (printed * 0.08).max(0.11),
                "{active} to {wanted}"
            );
        }
    }
}
