//! How many people a lift takes: the revised NIOSH lifting equation.

mod frequency;
mod multipliers;

use super::error::MethodError;
use super::given::Given;
use super::input::{Input, Kind, Lowest};
use super::method::{Answer, Method};
use super::source::SourceKind::{AgencyTable, Practice};
use super::source::{Basis, Mark, Source};
use crate::quantity::{Quantity, Rounding, Unit};
use frequency::Period;

/// The load constant in kg.
const LOAD_CONSTANT: f64 = 23.0;
/// More people than this cannot share a load evenly.
const PEOPLE_MOST: f64 = 4.0;

pub(crate) static METHOD: Method = Method {
    name: "lifting",
    purpose: "How many people a lift takes, by the revised NIOSH lifting equation, in metric units. Where the load \
              must be set down with care, work both ends out and take the greater number.",
    formula: "RWL = 23 kg × HM(horizontal) × VM(vertical) × DM(distance) × AM(asymmetry) × FM(frequency, duration, \
              recovery) × CM(coupling); LI = load ÷ RWL; people = LI, up to a whole number; exclusion: none",
    inputs: &[
        Input::in_unit("load", "weight that is lifted", "kg", Lowest::Above(0.0), 300.0),
        Input::in_unit(
            "horizontal",
            "from the middle between the ankles to the hands, over the floor",
            "cm",
            Lowest::At(0.0),
            63.0,
        ),
        Input::in_unit(
            "vertical",
            "from the floor to the hands, at the end that is worked out",
            "cm",
            Lowest::At(0.0),
            175.0,
        ),
        Input::in_unit("distance", "how far up or down the load moves", "cm", Lowest::At(0.0), 175.0),
        Input::in_unit("asymmetry", "angle of the load from straight ahead", "°", Lowest::At(0.0), 135.0),
        Input::new(
            "frequency",
            "lifts a minute; less than 0.2 counts as 0.2",
            Kind::Of("/min"),
            Lowest::Above(0.0),
            15.0,
        ),
        Input::in_unit("duration", "time of lifting", "h", Lowest::Above(0.0), 8.0),
        Input::in_unit(
            "recovery",
            "light work after it; with too little, the lifting counts as all day",
            "h",
            Lowest::At(0.0),
            24.0,
        )
        .or("0 h"),
        Input::word("coupling", "grip; in doubt the worse", &["good", "fair", "poor"]),
        Input::in_unit(
            "origin",
            "height of the hands at the origin, when the destination is worked out",
            "cm",
            Lowest::At(0.0),
            175.0,
        )
        .optional(),
        Input::word(
            "exclusion",
            "what there is of that for which the equation does not hold",
            &[
                "none",
                "one-handed",
                "seated",
                "kneeling",
                "confined",
                "unstable-load",
                "carrying",
                "barrow",
                "fast",
                "slippery",
                "hot-or-cold",
            ],
        ),
    ],
    rounding: "RWL is rounded down to 0.1 kg, LI up to 0.01 and people up, all from the exact figures, so that \
               capacity is never overstated.",
    source: Basis {
        sources: &[
            Source::new(AgencyTable(Mark::SecondHand), "DHHS (NIOSH) 94-110, revised 9/2021, pages 7 to 18"),
            Source::new(Practice, "Sharing the load evenly when LI is above 1"),
        ],
        holds: "The manual knows one person only and asks for a better lift first.",
    },
    example: &[
        ("load", "9 kg"),
        ("horizontal", "40 cm"),
        ("vertical", "30 cm"),
        ("distance", "50 cm"),
        ("asymmetry", "30°"),
        ("frequency", "0.2 /min"),
        ("duration", "0.25 h"),
        ("recovery", "1 h"),
        ("coupling", "fair"),
        ("exclusion", "none"),
    ],
    figure,
};

fn figure(given: &Given) -> Result<Answer, MethodError> {
    match given.word("exclusion")? {
        "none" => {}
        word => return Err(given.refuse(format!("{}; {INSTEAD}", excluded(word)))),
    }
    let vertical = given.value("vertical")?;
    let origin = given.optional("origin").map_or(vertical, |(_, height)| height);
    let period = Period::from_times(given.value("duration")?, given.value("recovery")?);
    let factors = [
        ("HM", multipliers::horizontal(given.value("horizontal")?)),
        ("VM", multipliers::vertical(vertical)),
        ("DM", multipliers::distance(given.value("distance")?)),
        ("AM", multipliers::asymmetry(given.value("asymmetry")?)),
        ("FM", frequency::multiplier(given.value("frequency")?, period, origin)),
        ("CM", multipliers::coupling(given.word("coupling")?, vertical)),
    ];
    if factors.iter().any(|(_, factor)| *factor <= 0.0) {
        return Err(given.refuse(format!(
            "the equation allows no weight at {} for that long; lift less often, or {INSTEAD}",
            given.quantity("frequency")?
        )));
    }
    let allowed = factors.iter().fold(LOAD_CONSTANT, |product, (_, factor)| product * factor);
    let index = given.value("load")? / allowed;
    let count = Rounding::Up.whole(index);
    if count > PEOPLE_MOST {
        return Err(given.refuse(format!(
            "the load is {index:.1} times what one person may lift, and over {PEOPLE_MOST} people cannot share it \
             evenly; use a lifting aid"
        )));
    }
    let people = Quantity::worked(count, Unit::parse("people")?, 0, Rounding::Nearest)?;
    let rwl = Quantity::worked(allowed, Unit::parse("kg")?, 1, Rounding::Down)?;
    let li = Quantity::worked(index, Unit::NUMBER, 2, Rounding::Up)?;
    let shown = factors.map(|(name, factor)| {
        Quantity::worked(factor, Unit::NUMBER, 3, Rounding::Nearest).map(|factor| (name, factor))
    });
    let factors = shown.into_iter().collect::<Result<Vec<_>, _>>()?;
    let product: Vec<String> = factors.iter().map(|(name, factor)| format!("{name} {factor}")).collect();
    let lines = vec![
        format!("RWL = 23 kg × {} = {rwl}", product.join(" × ")),
        format!("LI = {} ÷ RWL = {li}", given.quantity("load")?),
        format!("people = LI, up to a whole number: {people}"),
    ];
    let also = [("RWL", rwl), ("LI", li)].into_iter().chain(factors).collect();
    Ok(Answer { lines, result: people, also })
}

const INSTEAD: &str = "use a lifting aid, or ask someone who is qualified to judge the lift";

/// What the manual excludes (page 6), in words.
fn excluded(word: &str) -> &'static str {
    match word {
        "one-handed" => "the equation does not hold for a lift with one hand",
        "seated" => "the equation does not hold for a person who sits",
        "kneeling" => "the equation does not hold for a person who kneels",
        "confined" => "the equation does not hold in a space that restricts the body",
        "unstable-load" => {
            "the equation does not hold for a load that shifts; a partly filled tank counts as one"
        }
        "carrying" => "the equation does not hold while carrying, pushing or pulling",
        "barrow" => "the equation does not hold with a barrow or shovel",
        "fast" => "the equation does not hold for a lift faster than about 75 cm/s",
        "slippery" => "the equation does not hold on a floor with friction under 0.4",
        _ => "the equation does not hold outside 19 °C to 26 °C and 35 % to 50 % humidity",
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::{inputs, refusal};
    use super::METHOD;
    use crate::methods::Kind;

    /// DHHS (NIOSH) 94-110, page 6 (2nd hand).
    #[test]
    fn every_exclusion_is_refused_with_its_reason() {
        let Kind::Word(words) = METHOD.input("exclusion").unwrap().kind else { panic!("a word") };
        for word in words.iter().filter(|word| **word != "none") {
            let mut asked = inputs(METHOD.example);
            asked.extend(inputs(&[("exclusion", word)]));
            let error = refusal("lifting", &asked).to_string();
            assert!(error.contains("does not hold") && error.contains("lifting aid"), "{error}");
        }
    }

    #[test]
    fn lifts_that_are_too_much_are_refused() {
        for (changed, because) in [
            (vec![("load", "60 kg"), ("horizontal", "63 cm")], "cannot share it"),
            (vec![("frequency", "14 /min")], "no weight"),
        ] {
            let mut asked = inputs(METHOD.example);
            asked.extend(inputs(&changed));
            assert!(refusal("lifting", &asked).to_string().contains(because), "{because}");
        }
    }

    /// At exactly 1.0 one person lifts: the goal is "at most 1.0" (page 20), though the glossary (page 74) calls
    /// "1.0 or more" hazardous. A hair above 1.0 is two people.
    #[test]
    fn an_index_of_one_is_one_person() {
        let ideal = [
            ("horizontal", "25 cm"),
            ("vertical", "75 cm"),
            ("distance", "25 cm"),
            ("asymmetry", "0°"),
            ("frequency", "0.2 /min"),
            ("duration", "1 h"),
            ("recovery", "1 h"),
            ("coupling", "good"),
            ("exclusion", "none"),
        ];
        for (load, people) in [("23 kg", "1 person"), ("23.01 kg", "2 people"), ("46 kg", "2 people")] {
            let mut asked = ideal.to_vec();
            asked.push(("load", load));
            assert_eq!(super::super::tests::work("lifting", &asked).result.to_string(), people);
        }
    }
}
