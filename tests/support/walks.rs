//! Walks of random procedures, and what is said in them.

use calc::quantity::{Quantity, Unit};
use document::InputFile;
use machine::Machine;
use proof::{Budget, Claims, claims, claims_as_whole};
use walk::{Begin, Certificate, DocumentText, FORMAT, Reading, ToBegin};

/// How a rehearsal of a random procedure begins: the equipment and the procedures that it performs among its documents.
pub(crate) fn begin(documents: &[serde_json::Value], person: &str) -> Begin {
    let text = |(at, document): (usize, &serde_json::Value)| DocumentText {
        name: format!("{at}.yaml"),
        text: document.to_string(),
    };
    Begin {
        format: FORMAT,
        procedure: "main".to_owned(),
        revision: 1,
        content: String::new(),
        equipment: "rig".to_owned(),
        serial: "1".to_owned(),
        person: person.to_owned(),
        training: true,
        rehearsal: true,
        certificate: None,
        documents: documents.iter().enumerate().map(text).collect(),
    }
}

/// The walk with the certificate of what is proved of its machine; without one where nothing is claimed that the second program agrees
/// with.
pub(crate) fn certified(begin: Begin, machine: &Machine) -> ToBegin {
    let (form, budget) = (machine.form(), Budget { boxes: 100_000, go_on: &|| true });
    let file = |document: &DocumentText| InputFile {
        name: document.name.clone(),
        bytes: document.text.clone().into_bytes(),
    };
    let files: Vec<InputFile> = begin.documents.iter().map(file).collect();
    let content = document::read(&files).library.content_hash(&begin.procedure).expect("a content");
    let begin = Begin { content: content.clone(), ..begin };
    let named = |Claims { plans, views }| {
        let hash = form::hash(&form).expect("a hash");
        Certificate { form: hash, content: content.clone(), ..Certificate::of(&form, plans, views) }
    };
    let is_right = |certificate: &Certificate| verifier::verify_named(&form, certificate).is_ok();
    let asked = [claims, claims_as_whole].into_iter().filter_map(|claims| claims(machine, &budget).ok());
    ToBegin { begin, certificate: asked.map(named).find(is_right) }
}

/// A reading well inside its range, in the instrument's unit.
pub(crate) fn good_reading(reading: &Reading) -> String {
    let range = reading.range.as_ref().expect("a range");
    let unit = Unit::parse(&reading.unit).expect("a unit");
    let value = |quantity: &Quantity| quantity.value_in(unit).expect("the same dimension");
    let middle = match (range.at_least().map(value), range.at_most().map(value)) {
        (Some(low), Some(high)) => f64::midpoint(low, high),
        (None, Some(high)) => high / 2.0,
        (Some(low), None) => low * 1.5,
        (None, None) => 1.0,
    };
    format!("{middle:.3} {}", reading.unit)
}
