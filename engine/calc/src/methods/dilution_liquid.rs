//! How much concentrate to make up to a volume.

use super::given::Given;
use super::input::{Input, Kind, Lowest, Presence};
use super::strength::{AT_MOST, VOLUME, WANTED, made_up, reached};
use super::{Answer, Method, MethodError};
use crate::quantity::{Quantity, Rounding, Unit};

pub(crate) static METHOD: Method = Method {
    name: "dilution-liquid",
    purpose: "How much liquid concentrate to make up with water to a volume.",
    formula: "concentrate = wanted × volume ÷ stock; water = volume − concentrate",
    inputs: &[
        Input {
            name: "stock",
            meaning: "strength of the concentrate",
            kind: Kind::Strength,
            from: Lowest::Above(0.0),
            to: 1_000_000.0,
            presence: Presence::Required,
        },
        WANTED,
        VOLUME,
        AT_MOST,
        Input {
            name: "round_up",
            meaning: "step of the measure, to which the concentrate is rounded up",
            kind: Kind::Of("mL"),
            from: Lowest::At(0.1),
            to: 1000.0,
            presence: Presence::Default("1 mL"),
        },
    ],
    rounding: "The concentrate is rounded up and the water down, so that the mix is never too weak; what it then \
               reaches is checked against the label's limit.",
    source: "C1·V1 = C2·V2, made up to a volume, not added to it: CDC Guideline for Disinfection and \
             Sterilization, appendix E (read); 1 % is 10 000 mg/L for liquids as dense as water (Red Cross items \
             catalogue, read).",
    figure,
};

fn figure(given: &Given) -> Result<Answer, MethodError> {
    let millilitre = Unit::parse("mL")?;
    let (stock, wanted) = (given.value("stock")?, given.value("wanted")?);
    let volume = given.value("volume")? * 1000.0;
    if wanted > stock {
        return Err(given.refuse(format!(
            "the mix of {} cannot be stronger than its concentrate of {}",
            given.quantity("wanted")?,
            given.quantity("stock")?
        )));
    }
    let step = given.value("round_up")?;
    let exact = wanted * volume / stock;
    let measured = Rounding::Up.whole(exact / step) * step;
    if measured > volume {
        return Err(given.refuse("the concentrate would fill the whole volume; use it undiluted".into()));
    }
    let concentrate = Quantity::worked(measured, millilitre, 3, Rounding::Up)?.trimmed();
    let water = Quantity::worked(volume - measured, millilitre, 0, Rounding::Down)?;
    let strength = reached(given, stock * measured / volume)?;
    let working = format!(
        "concentrate = {} × {} ÷ {} = {}, up to a whole {}: {concentrate}",
        given.quantity("wanted")?,
        given.quantity("volume")?,
        given.quantity("stock")?,
        Quantity::worked(exact, millilitre, 1, Rounding::Nearest)?,
        given.quantity("round_up")?
    );
    made_up(given, working, concentrate, vec![("water", water)], strength)
}

#[cfg(test)]
mod tests {
    use super::super::tests::{inputs, refusal, work};

    fn mix(stock: &str, wanted: &str, volume: &str) -> (String, String, String) {
        let worked = work("dilution-liquid", &[("stock", stock), ("wanted", wanted), ("volume", volume)]);
        (worked.result.to_string(), worked.also[0].1.to_string(), worked.also[1].1.to_string())
    }

    #[test]
    fn published_rows() {
        for (stock, wanted, volume, concentrate, water) in [
            // CDC appendix E, examples 1 and 3 (read): 6 and 49 parts of water.
            ("3.5 %", "0.5 %", "7 L", "1000 mL", "6000 mL"),
            ("5 %", "0.1 %", "50 L", "1000 mL", "49000 mL"),
            // WHO 2014 annex G, table G.1 (read): 1+99 of 5 % and 2+98 of 2.5 % both give 500 ppm, 0.05 %.
            ("5 %", "500 ppm", "10 L", "100 mL", "9900 mL"),
            ("2.5 %", "0.05 %", "10 L", "200 mL", "9800 mL"),
            // WHO laboratory biosafety table 12 (read): 20 and 100 mL of 5 % liquid in a litre.
            ("5 %", "0.1 %", "1 L", "20 mL", "980 mL"),
            ("5 %", "0.5 %", "1 L", "100 mL", "900 mL"),
            // Cholera appendix 9 (read): 10, 40 and 400 mL of 5 %, true only when made up to 1 L.
            ("5 %", "0.05 %", "1 L", "10 mL", "990 mL"),
            ("5 %", "0.2 %", "1 L", "40 mL", "960 mL"),
            ("5 %", "2 %", "1 L", "400 mL", "600 mL"),
        ] {
            let (got_concentrate, got_water, _) = mix(stock, wanted, volume);
            assert_eq!((&*got_concentrate, &*got_water), (concentrate, water), "{stock} to {wanted}");
        }
    }

    /// KDHE (read): 50 mg/L in 1000 US gal of 5.25 % bleach takes 122 fl oz, 3.8 qt; ours is 121.95 (derived).
    #[test]
    fn published_row_in_customary_units() {
        let worked =
            work("dilution-liquid", &[("stock", "5.25 %"), ("wanted", "50 mg/L"), ("volume", "1000 US gal")]);
        let ounces = worked.result.value_in(crate::quantity::Unit::parse("US fl oz").unwrap()).unwrap();
        assert!((ounces / 121.95 - 1.0).abs() < 0.001, "{ounces}");
    }

    /// Rows that print the strength of a measured amount of 5.25 % bleach, run backwards; within 1 %.
    #[test]
    fn published_amounts_by_their_strength() {
        for (wanted, volume, millilitres) in [
            // KDHE (read): 1 US fl oz in 1 US gal is 410 mg/L.
            ("410 mg/L", "1 US gal", 29.57),
            // WAC 296-823-14055 (read): 10 mL, and 79 + 15 mL, made up to 946 mL; strengths derived.
            ("555 ppm", "946 mL", 10.0),
            ("5217 ppm", "946 mL", 94.0),
        ] {
            let asked = [("stock", "5.25 %"), ("wanted", wanted), ("volume", volume), ("round_up", "0.1 mL")];
            let got = work("dilution-liquid", &asked).result.value();
            assert!((got / millilitres - 1.0).abs() < 0.01 + 1e-9, "{wanted}: {got}");
        }
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
