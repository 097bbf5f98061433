//! How many tablets to dissolve in a volume.

use super::error::MethodError;
use super::given::Given;
use super::input::{Input, Lowest};
use super::method::{Answer, Method};
use super::source::SourceKind::AgencyTable;
use super::source::{Basis, Mark, Source};
use super::strength::{AT_MOST, VOLUME, WANTED, made_up, reached};
use crate::quantity::{Quantity, Rounding, Unit};

pub(crate) static METHOD: Method = Method {
    name: "dilution-tablets",
    purpose: "How many tablets to dissolve and make up with water to a volume.",
    formula: "tablets = wanted × volume ÷ tablet",
    inputs: &[
        Input::in_unit(
            "tablet",
            "active part of one tablet, which is less than its weight",
            "mg",
            Lowest::At(1.0),
            100_000.0,
        ),
        WANTED,
        VOLUME,
        AT_MOST,
    ],
    rounding: "Rounded up to whole tablets, so that the mix is never too weak; what it then reaches is checked \
               against the label's limit.",
    source: Basis {
        sources: &[Source::new(
            AgencyTable(Mark::Read),
            "Mass by volume, made up to a volume: Red Cross items catalogue, sodium \
             dichloroisocyanurate page",
        )],
        holds: "1 ppm is 1 mg/L for liquids as dense as water.",
    },
    example: &[("tablet", "1 g"), ("wanted", "500 mg/L"), ("volume", "6 L")],
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
    use super::super::tests::{inputs, refusal};
    use super::MethodError;

    #[test]
    fn a_whole_tablet_too_strong_for_the_label_is_refused() {
        let asked =
            inputs(&[("tablet", "1 g"), ("wanted", "500 mg/L"), ("volume", "1 L"), ("at_most", "600 mg/L")]);
        assert!(matches!(refusal("dilution-tablets", &asked), MethodError::Refused { .. }));
    }
}
