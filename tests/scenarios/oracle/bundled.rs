//! The bundled procedures themselves, value by value.

use super::compare::Compared;
use crate::support::demo;

#[test]
fn the_proof_agrees_with_the_oracle_on_the_bundled_procedures() {
    let mut compared = Compared::default();
    for procedure in demo::PROCEDURES {
        let reading = demo::reading(procedure, &demo::text(procedure));
        compared.one(&reading.library, procedure).unwrap_or_else(|error| panic!("{procedure}: {error}"));
    }
    assert_eq!((compared.given_up, compared.faulty), (0, 0));
    super::report("bundled procedures", &compared);
}
