//! How full a battery is, by its voltage at rest.

use super::error::MethodError;
use super::given::Given;
use super::input::{Input, Kind, Lowest};
use super::method::{Answer, Method};
use super::source::SourceKind::{Derived, Handbook, Practice};
use super::source::{Basis, Mark, Source};
use crate::quantity::{Quantity, Rounding, Unit};

/// Volts of a battery of six cells and percent of charge, falling.
const STATES: [(f64, f64); 5] = [(12.65, 100.0), (12.45, 75.0), (12.24, 50.0), (12.06, 25.0), (11.89, 0.0)];
const CELLS: f64 = 6.0;
/// A tenth of a volt above full: what is left of the charger's voltage in the plates, not charge.
const VOLTS_MOST: f64 = 12.75;
/// Below this a battery of six cells has lost a cell or is damaged by deep discharge.
const VOLTS_LEAST: f64 = 10.5;

pub(crate) static METHOD: Method = Method {
    name: "rest-voltage",
    purpose: "How full a flooded lead-acid battery is, by its voltage after a rest.",
    formula: "charge between the rows of the table of voltage and cells, at (voltage − uncertainty), \
              after the rest, for the chemistry",
    inputs: &[
        Input::word(
            "chemistry",
            "kind of battery",
            &["flooded-lead-acid", "sealed-lead-acid", "lithium-iron-phosphate"],
        ),
        Input::new("cells", "cells in series: 6 for 12 V, 12 for 24 V", Kind::Number, Lowest::At(1.0), 24.0),
        Input::in_unit("voltage", "voltage without load or charger", "V", Lowest::Above(0.0), 60.0),
        Input::in_unit("uncertainty", "how far the voltmeter may be off", "V", Lowest::At(0.0), 1.0),
        Input::in_unit("rest", "time since the last charge or load", "h", Lowest::At(8.0), 10_000.0),
    ],
    rounding: "The uncertainty is taken off the voltage and the charge rounded down to a whole percent, so that a \
               battery is never taken to be fuller than it is.",
    source: Basis {
        sources: &[
            Source::new(
                Handbook(Mark::Read),
                "12.65, 12.45, 12.24, 12.06 and 11.89 V for 100, 75, 50, 25 and 0 %: Battery Council \
                 International, flooded batteries at 27 °C",
            ),
            Source::new(Derived, "Straight lines between"),
            Source::new(
                Practice,
                "A rest of at least 8 h; a lithium iron phosphate battery keeps nearly one voltage \
                 between 20 and 90 %",
            ),
        ],
        holds: "",
    },
    example: &[
        ("chemistry", "flooded-lead-acid"),
        ("cells", "12"),
        ("voltage", "24.9 V"),
        ("uncertainty", "0.1 V"),
        ("rest", "10 h"),
    ],
    figure,
};

fn figure(given: &Given) -> Result<Answer, MethodError> {
    match given.word("chemistry")? {
        "flooded-lead-acid" => {}
        "lithium-iron-phosphate" => {
            return Err(given.refuse(
                "the voltage of a lithium iron phosphate battery hardly moves between 20 % and 90 %, so that it is no \
                 gauge; read the battery's own monitor, or charge it full",
            ));
        }
        _ => {
            return Err(given.refuse(
                "sealed batteries rest at a higher voltage than the table's flooded ones and would be taken to be \
                 fuller than they are; use the maker's table, or the charger's lamp",
            ));
        }
    }
    let cells = given.value("cells")?;
    if cells.fract() > 0.0 {
        return Err(given.refuse("a battery has a whole number of cells"));
    }
    let of_six = (given.value("voltage")? - given.value("uncertainty")?) / cells * CELLS;
    let read = given.value("voltage")? / cells * CELLS;
    if read > VOLTS_MOST + 1e-9 {
        return Err(given.refuse(format!(
            "{} is above a full battery at rest; take the load or charger off and let it rest",
            given.quantity("voltage")?
        )));
    }
    if of_six < VOLTS_LEAST {
        return Err(given.refuse(format!(
            "{} is so low that a cell is dead or damaged; the table says nothing about it",
            given.quantity("voltage")?
        )));
    }
    let result = Quantity::worked(charge(of_six), Unit::parse("%")?, 0, Rounding::Down)?;
    let line = format!(
        "({} − {}) × 6 ÷ {} = {} for six cells: {result}",
        given.quantity("voltage")?,
        given.quantity("uncertainty")?,
        given.quantity("cells")?,
        Quantity::worked(of_six, Unit::parse("V")?, 2, Rounding::Down)?
    );
    Ok(Answer { lines: vec![line], result, also: Vec::new() })
}

fn charge(volts: f64) -> f64 {
    for pair in STATES.windows(2) {
        let [(above, full), (below, less)] = pair else { continue };
        if volts > *above {
            return *full;
        }
        if volts >= *below {
            return less + (volts - below) / (above - below) * (full - less);
        }
    }
    0.0
}

#[cfg(test)]
mod tests {
    use super::super::tests::{inputs, refusal};

    #[test]
    fn says_why_some_batteries_cannot_be_gauged() {
        for (chemistry, voltage, because) in [
            ("lithium-iron-phosphate", "13.2 V", "is no gauge"),
            ("sealed-lead-acid", "12.6 V", "taken to be fuller"),
            ("flooded-lead-acid", "12.9 V", "let it rest"),
            ("flooded-lead-acid", "10.4 V", "dead or damaged"),
        ] {
            let asked = inputs(&[
                ("chemistry", chemistry),
                ("cells", "6"),
                ("voltage", voltage),
                ("uncertainty", "0 V"),
                ("rest", "8 h"),
            ]);
            let error = refusal("rest-voltage", &asked).to_string();
            assert!(error.contains(because), "{error}");
        }
    }
}
