//! Truthful people walk random proved procedures on machines that are what they are: whatever interrupts them, no act is done
//! without what it needs, none breaks a rule, nothing ends otherwise than promised, and a machine that may be left is at rest.

mod answers;
mod end;
mod person;
mod world;

use crate::spin::number;
use crate::support::walks::{begin, certified};
use oracle::{library, shown, varied_documents};
use person::{Met, PEOPLE, Person};
use proof::Budget;
use walk::CompiledCache;

/// Walks of each procedure.
const WALKS: u64 = 12;

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
    let from: u64 = number("FROM", 0);
    let seeds: u64 = number("SEEDS", 1_500);
    let (mut met, mut proved, mut certificates) = (Met::new(), 0, 0);
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
        let begun = certified(begin(&documents, PEOPLE[0]), &machine);
        certificates += usize::from(begun.certificate.is_some());
        let mut cache = CompiledCache::default();
        for walk in 0..WALKS {
            let person = Person::new(&machine, seed * 1_000 + walk, &mut met);
            if let Err(harm) = person.walk(begun.clone(), &mut cache) {
                panic!("seed {seed}, walk {walk}: {harm}\n{}", shown(&all));
            }
        }
    }
    println!("{proved} procedures of {seeds} proved, {certificates} with a certificate: {met:?}");
    assert!(certificates * 10 > proved * 9, "{certificates} of {proved}");
}

/// One well outside it.
fn bad_reading(reading: &walk::Reading) -> String {
    let has_least = reading.range.as_ref().is_some_and(|range| range.at_least().is_some());
    format!("{} {}", if has_least { 0 } else { 1000 }, reading.unit)
}
