//! The bundled procedures themselves, value by value.

use super::compare::Compared;
use document::InputFile;

const EQUIPMENT: &str = include_str!("../../../../procedures/oskerry-22/equipment.yaml");

/// Every bundled procedure.
const PROCEDURES: [(&str, &str); 7] = [
    ("battery-replacement", include_str!("../../../../procedures/oskerry-22/battery-replacement.yaml")),
    ("first-flush", include_str!("../../../../procedures/oskerry-22/first-flush.yaml")),
    ("pump-head", include_str!("../../../../procedures/oskerry-22/pump-head.yaml")),
    ("strainer-clean", include_str!("../../../../procedures/oskerry-22/strainer-clean.yaml")),
    ("tip-swap", include_str!("../../../../procedures/oskerry-22/tip-swap.yaml")),
    ("unboxing", include_str!("../../../../procedures/oskerry-22/unboxing.yaml")),
    ("wand-reassembly", include_str!("../../../../procedures/oskerry-22/wand-reassembly.yaml")),
];

#[test]
fn the_proof_agrees_with_the_interpreter_on_the_bundled_procedures() {
    let mut compared = Compared::default();
    for (procedure, text) in PROCEDURES {
        let file = |name: &str, text: &str| InputFile { name: format!("{name}.yaml"), bytes: text.into() };
        let reading = document::read(&[file("equipment", EQUIPMENT), file(procedure, text)]);
        compared.one(&reading.library, procedure).unwrap_or_else(|error| panic!("{procedure}: {error}"));
    }
    assert_eq!((compared.given_up, compared.faulty), (0, 0));
    super::report("bundled procedures", &compared);
}
