//! Truthful people walk random proved procedures on machines that are what they are: whatever interrupts them, no act is done
//! without what it needs, none breaks a rule, nothing ends otherwise than promised, and a machine that may be left is at rest.

mod answers;
mod end;
mod person;
mod world;

use calc::quantity::Quantity;
use oracle::{library, shown, varied_documents};
use person::{Met, PEOPLE, Person};
use proof::Budget;
use walk::{Begin, CompiledCache, DocumentText, FORMAT};

/// Walks of each procedure.
const WALKS: u64 = 12;

fn number<T: std::str::FromStr>(name: &str) -> Option<T> {
    std::env::var(name).ok()?.parse().ok()
}

fn begin(documents: &[serde_json::Value]) -> Begin {
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
        person: PEOPLE[0].to_owned(),
        training: true,
        rehearsal: true,
        documents: documents.iter().enumerate().map(text).collect(),
    }
}

/// Gives each act words of its own: by those a plan knows it.
fn tell_apart(equipment: &mut serde_json::Value) {
    let actions = equipment.get_mut("actions").and_then(serde_json::Value::as_object_mut);
    for (name, action) in actions.into_iter().flatten() {
        action["do"] = format!("Do {name}.").into();
    }
}

#[test]
#[expect(clippy::print_stdout, reason = "shown with the test's output")]
fn whatever_is_believed_the_machine_is_as_it_is() {
    let from: u64 = number("FROM").unwrap_or(0);
    let seeds: u64 = number("SEEDS").unwrap_or(1_500);
    let (mut met, mut proved) = (Met::new(), 0);
    for seed in from..from + seeds {
        let mut documents = varied_documents(seed);
        tell_apart(&mut documents[0]);
        let all: Vec<_> = documents.iter().collect();
        let library = library(&all).unwrap_or_else(|error| panic!("seed {seed}: {error}"));
        let machine = machine::compile(&library, &"main".into()).expect("a machine");
        if !machine.unseen.is_empty() {
            continue;
        }
        let proof = proof::prove(&machine, &Budget { boxes: 20_000, go_on: &|| true }).expect("a proof");
        if proof.ended.is_some() || !proof.refuted.is_empty() {
            continue;
        }
        proved += 1;
        let mut cache = CompiledCache::default();
        for walk in 0..WALKS {
            let person = Person::new(&machine, seed * 1_000 + walk, &mut met);
            if let Err(harm) = person.walk(begin(&documents), &mut cache) {
                panic!("seed {seed}, walk {walk}: {harm}\n{}", shown(&all));
            }
        }
    }
    println!("{proved} procedures of {seeds} proved: {met:?}");
}

/// A reading well inside its range, in the instrument's unit.
fn good_reading(reading: &walk::Reading) -> String {
    let range = reading.range.as_ref().expect("a range");
    let unit = calc::quantity::Unit::parse(&reading.unit).expect("a unit");
    let value = |quantity: &Quantity| quantity.value_in(unit).expect("the same dimension");
    let middle = match (range.at_least().map(value), range.at_most().map(value)) {
        (Some(low), Some(high)) => f64::midpoint(low, high),
        (None, Some(high)) => high / 2.0,
        (Some(low), None) => low * 1.5,
        (None, None) => 1.0,
    };
    format!("{middle:.3} {}", reading.unit)
}

/// One well outside it.
fn bad_reading(reading: &walk::Reading) -> String {
    let has_least = reading.range.as_ref().is_some_and(|range| range.at_least().is_some());
    format!("{} {}", if has_least { 0 } else { 1000 }, reading.unit)
}
