//! How much concentrate to make up to a volume, or to add to a volume of water.

use super::error::MethodError;
use super::given::Given;
use super::method::{Answer, Method};
use super::rounded::{digits, stepped};
use super::source::SourceKind::AgencyTable;
use super::source::{Basis, Mark, Source};
use super::strength::{AT_MOST, Measured, STEP_OF_MEASURE, STOCK, VOLUME, WANTED, WATER, reached};
use crate::quantity::{Rounding, Unit};

pub(crate) static METHOD: Method = Method {
    name: "dilution-liquid",
    purpose: "How much liquid concentrate to make up with water to a volume, or to add to a volume of water.",
    formula: "made up to a volume: concentrate = wanted × volume ÷ stock; \
              added to water: concentrate = wanted × water ÷ (stock − wanted)",
    inputs: &[STOCK, WANTED, VOLUME.optional(), WATER, AT_MOST, STEP_OF_MEASURE],
    rounding: "The concentrate is rounded up and the water down, so that the mix is never too weak; what it then \
               reaches is checked against the label's limit.",
    source: Basis {
        sources: &[
            Source::new(
                AgencyTable(Mark::Read),
                "C1·V1 = C2·V2, and parts of water = stock ÷ wanted − 1: CDC Guideline for Disinfection \
                 and Sterilization, appendix E",
            ),
            Source::new(
                AgencyTable(Mark::Read),
                "1 % is 10 000 mg/L for liquids as dense as water: Red Cross items catalogue",
            ),
        ],
        holds: "",
    },
    example: &[("stock", "4 %"), ("wanted", "500 mg/L"), ("volume", "6 L")],
    figure,
};

fn figure(given: &Given) -> Result<Answer, MethodError> {
    let millilitre = Unit::parse("mL")?;
    let (stock, wanted) = (given.value("stock")?, given.value("wanted")?);
    let measured = Measured::from_given(given)?;
    if wanted > stock {
        return Err(given.refuse(format!(
            "the mix of {} cannot be stronger than its concentrate of {}",
            given.quantity("wanted")?,
            given.quantity("stock")?
        )));
    }
    let exact = measured.concentrate(wanted, stock);
    if !exact.is_finite() {
        return Err(given.refuse("a mix as strong as its concentrate takes no water; use it undiluted"));
    }
    let concentrate = stepped(exact, given.value("round_up")?, millilitre, Rounding::Up)?;
    let mix = measured.mix(concentrate.value());
    if concentrate.value() > mix {
        return Err(given.refuse("the concentrate would fill the whole volume; use it undiluted"));
    }
    let (done, water) = measured.water(given, concentrate.value())?;
    let strength = reached(given, stock * concentrate.value() / mix)?;
    let working = match measured {
        Measured::Mix(_) => format!("{} ÷ {}", given.quantity("volume")?, given.quantity("stock")?),
        Measured::Water(_) => format!(
            "{} ÷ ({} − {})",
            given.quantity("water")?,
            given.quantity("stock")?,
            given.quantity("wanted")?
        ),
    };
    let lines = vec![
        format!(
            "concentrate = {} × {working} = {}, up to a whole {}: {concentrate}",
            given.quantity("wanted")?,
            digits(exact, 4, millilitre, Rounding::Nearest)?,
            given.quantity("round_up")?
        ),
        format!("{done} this gives {strength}"),
    ];
    Ok(Answer { lines, result: concentrate, also: vec![("water", water), ("strength", strength)] })
}

#[cfg(test)]
mod tests {
    use super::super::tests::{inputs, refusal, work};

    fn mix(stock: &str, wanted: &str, volume: &str) -> (String, String, String) {
        let worked = work("dilution-liquid", &[("stock", stock), ("wanted", wanted), ("volume", volume)]);
        (worked.result.to_string(), worked.also[0].1.to_string(), worked.also[1].1.to_string())
    }

    #[test]
    fn concentrate_goes_up_and_water_down() {
        // Derived: 500 mg/L × 6 L ÷ 35 g/L = 85.7 mL.
        let (concentrate, water, strength) = mix("3.5 %", "500 mg/L", "6 L");
        assert_eq!((&*concentrate, &*water, &*strength), ("86 mL", "5914 mL", "502 mg/L"));
    }

    #[test]
    fn a_mix_above_the_label_is_refused() {
        let mut asked =
            inputs(&[("stock", "3.5 %"), ("wanted", "500 mg/L"), ("volume", "6 L"), ("at_most", "500 mg/L")]);
        assert!(refusal("dilution-liquid", &asked).to_string().contains("502 mg/L"));
        asked.extend(inputs(&[("stock", "4 %")]));
        assert!(super::METHOD.work(&asked).is_ok(), "75 mL exactly is at the limit, not above it");
    }

    #[test]
    fn a_mix_stronger_than_its_concentrate_is_refused() {
        for (wanted, volume, because) in [
            ("501 mg/L", "6 L", "cannot be stronger than its concentrate"),
            ("500 mg/L", "1000.5 mL", "use it undiluted"),
        ] {
            let asked = inputs(&[("stock", "0.05 %"), ("wanted", wanted), ("volume", volume)]);
            let error = refusal("dilution-liquid", &asked).to_string();
            assert!(error.contains(because), "{error}");
        }
        assert_eq!(mix("0.05 %", "500 mg/L", "6 L").1, "0 mL");
    }
}
