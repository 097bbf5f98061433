//! Random procedures in which every construct meets every other, and every short sequence over one machine.

use super::compare::Compared;
use oracle::{enumerated, library, shown, varied_documents};
use serde_json::Value;

/// How many procedures are compared.
const CASES: u64 = 1500;

#[test]
fn the_proof_agrees_with_the_judge_on_random_procedures() {
    let mut compared = Compared::default();
    let mut all = Vec::new();
    for seed in 0..CASES {
        if let Err(error) = one(&varied_documents(seed), &mut compared) {
            all.push(format!("seed {seed}: {}", error.split("\n{").next().unwrap()));
        }
    }
    assert!(all.is_empty(), "{} {}", all.len(), all.join("\n"));
    assert!(compared.given_up < 5, "{} too large", compared.given_up);
    assert!(
        compared.faulty > compared.cases / 3 && compared.faulty < compared.cases * 19 / 20,
        "{} faulty",
        compared.faulty
    );
    super::report("random procedures", &compared);
}

#[test]
fn the_proof_agrees_with_the_judge_on_every_short_sequence() {
    let mut compared = Compared::default();
    for documents in enumerated(3) {
        if let Err(error) = one(&documents, &mut compared) {
            panic!("{error}");
        }
    }
    assert_eq!(compared.given_up, 0);
    super::report("short sequences", &compared);
}

/// Compares the procedure of some documents.
fn one(documents: &[Value], compared: &mut Compared) -> Result<(), String> {
    let documents: Vec<&Value> = documents.iter().collect();
    let result = library(&documents).and_then(|library| compared.one(&library, "main"));
    result.map_err(|error| format!("{error}\n{}", shown(&documents)))
}
