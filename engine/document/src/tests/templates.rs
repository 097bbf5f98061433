//! A name of an amount that there is not is told in every text that is filled in, and in none other are there double braces.

use super::{EQUIPMENT, PROCEDURE, read_texts};
use crate::Library;
use crate::mentions::{Text, texts_of_equipment, texts_of_procedure};
use serde_json::Value;

/// The documents with one text written otherwise; documents of JSON are documents of YAML.
fn edited(library: &Library, at: &str, of_procedure: bool, new: &str) -> Vec<String> {
    let equipment = library.equipment.values().next().and_then(|document| library.json(document));
    let procedure = library.procedures.values().next().and_then(|document| library.json(document));
    let mut both = [equipment.expect("the equipment").clone(), procedure.expect("the procedure").clone()];
    let value = both[usize::from(of_procedure)].pointer_mut(at).expect("the text");
    assert!(value.is_string(), "{at}");
    *value = Value::from(new);
    both.iter().map(ToString::to_string).collect()
}

#[test]
fn a_name_that_is_none_is_told_wherever_texts_are() {
    let library = read_texts(&[EQUIPMENT, PROCEDURE]).library;
    let equipment = texts_of_equipment(&library.equipment.values().next().expect("the equipment").model);
    let procedure = texts_of_procedure(&library.procedures.values().next().expect("the procedure").model);
    let mut tried = 0;
    let texts = |texts: &[Text<'_>]| -> Vec<String> {
        texts.iter().filter(|text| !text.key).map(|text| text.at.to_string()).collect()
    };
    for (of_procedure, texts) in [(false, texts(&equipment)), (true, texts(&procedure))] {
        for at in texts {
            let text = |new: &str| -> Vec<&'static str> {
                let documents = edited(&library, &at, of_procedure, new);
                let documents: Vec<&str> = documents.iter().map(String::as_str).collect();
                read_texts(&documents).findings.iter().map(|finding| finding.code).collect()
            };
            assert!(text("Do it for {{ no_such_amount }}.").contains(&"A08"), "{at}");
            assert!(!text("Do it for a while.").contains(&"A08"), "{at}");
            tried += 1;
        }
    }
    assert!(tried > 40, "{tried}");
}
