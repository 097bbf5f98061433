//! How many tablets to dissolve in a volume.

use super::given::Given;
use super::input::{Input, Kind, Lowest, Presence};
use super::strength::{AT_MOST, VOLUME, WANTED, made_up, reached};
use super::{Answer, Method, MethodError};
use crate::quantity::{Quantity, Rounding, Unit};

pub(crate) static METHOD: Method = Method {
    name: "dilution-tablets",
    purpose: "How many tablets to dissolve and make up with water to a volume.",
    formula: "tablets = wanted × volume ÷ tablet",
    inputs: &[
        Input {
            name: "tablet",
            meaning: "active part of one tablet, which is less than its weight",
            kind: Kind::Of("mg"),
            from: Lowest::At(1.0),
            to: 100_000.0,
            presence: Presence::Required,
        },
        WANTED,
        VOLUME,
        AT_MOST,
    ],
    rounding: "Rounded up to whole tablets, so that the mix is never too weak; what it then reaches is checked \
               against the label's limit.",
    source: "Mass by volume, made up to a volume: Red Cross items catalogue, sodium dichloroisocyanurate page \
             (read); 1 ppm is 1 mg/L for liquids as dense as water.",
    figure,
};

fn figure(given: &Given) -> Result<Answer, MethodError> {
    let tablets = Unit::parse("tablets")?;
    let (tablet, volume) = (given.value("tablet")?, given.value("volume")?);
    let exact = given.value("wanted")? * volume / tablet;
    let count = Rounding::Up.whole(exact);
    let result = Quantity::worked(count, tablets, 0, Rounding::Nearest)?;
    let strength = reached(given, count * tablet / volume)?;
    let working = format!(
        "tablets = {} × {} ÷ {} = {}, up to whole ones: {result}",
        given.quantity("wanted")?,
        given.quantity("volume")?,
        given.quantity("tablet")?,
        Quantity::worked(exact, Unit::NUMBER, 2, Rounding::Nearest)?.trimmed()
    );
    made_up(given, working, result, Vec::new(), strength)
}

#[cfg(test)]
mod tests {
    use super::super::tests::{inputs, refusal, work};
    use super::MethodError;

    #[test]
    fn published_rows() {
        for (tablet, wanted, volume, tablets, strength) in [
            // Red Cross items catalogue (read): active part, volume, strength of one tablet.
            ("5 mg", "5 ppm", "1 L", "1 tablet", "5.00 mg/L"),
            ("20 mg", "4 ppm", "5 L", "1 tablet", "4.00 mg/L"),
            ("40 mg", "4 ppm", "10 L", "1 tablet", "4.00 mg/L"),
            ("100 mg", "5 ppm", "20 L", "1 tablet", "5.00 mg/L"),
            // MSF catalogue (read): 10 mg active in 5 L is 2 ppm.
            ("10 mg", "2 mg/L", "5 L", "1 tablet", "2.00 mg/L"),
            // WHO laboratory biosafety table 12 (read): 1 and 4 tablets of 1.5 g a litre for 0.1 and 0.5 %.
            ("1.5 g", "0.1 %", "1 L", "1 tablet", "1500 mg/L"),
            ("1.5 g", "0.5 %", "1 L", "4 tablets", "6000 mg/L"),
            // Cholera appendix 14 (read): ten tablets of 1 g in a litre make the 1 % stock.
            ("1 g", "1 %", "1 L", "10 tablets", "10000 mg/L"),
            // Derived: the demo machine's rinse charge.
            ("1 g", "500 mg/L", "6 L", "3 tablets", "500 mg/L"),
            ("1 g", "1000 mg/L", "22 L", "22 tablets", "1000 mg/L"),
        ] {
            let worked =
                work("dilution-tablets", &[("tablet", tablet), ("wanted", wanted), ("volume", volume)]);
            assert_eq!(worked.result.to_string(), tablets, "{tablet} to {wanted} in {volume}");
            assert_eq!(worked.also[0].1.to_string(), strength, "{tablet} to {wanted} in {volume}");
        }
    }

    #[test]
    fn a_whole_tablet_too_strong_for_the_label_is_refused() {
        let asked =
            inputs(&[("tablet", "1 g"), ("wanted", "500 mg/L"), ("volume", "1 L"), ("at_most", "600 mg/L")]);
        assert!(matches!(refusal("dilution-tablets", &asked), MethodError::Refused { .. }));
    }
}
