//! Random procedures with everything in them, read from text.

use super::compare::Compared;
use oracle::{library, random_documents, shown};
use serde_json::Value;

/// How many procedures are compared.
const CASES: u64 = 1500;

#[test]
fn the_proof_agrees_with_the_interpreter_on_random_procedures() {
    let mut compared = Compared::default();
    for seed in 0..CASES {
        if let Err(error) = one(seed, &mut compared) {
            panic!("seed {seed}: {error}");
        }
    }
    assert!(compared.given_up < 5, "{} too large", compared.given_up);
    assert!(
        compared.faulty > compared.cases / 3 && compared.faulty < compared.cases * 19 / 20,
        "{} faulty",
        compared.faulty
    );
    super::report("random procedures", &compared);
}

/// Compares the procedure of one seed.
fn one(seed: u64, compared: &mut Compared) -> Result<(), String> {
    let documents = random_documents(seed);
    let documents: Vec<&Value> = documents.iter().collect();
    let result = library(&documents).and_then(|library| compared.one(&library, "main"));
    result.map_err(|error| format!("{error}\n{}", shown(&documents)))
}
