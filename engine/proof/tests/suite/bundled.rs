//! The bundled procedures themselves.

use document::InputFile;
use proof::Budget;

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

/// They have too many records for the judge, which keeps every path apart.
#[test]
fn the_bundled_procedures_are_proved() {
    for (procedure, text) in PROCEDURES {
        let file = |name: &str, text: &str| InputFile { name: format!("{name}.yaml"), bytes: text.into() };
        let reading = document::read(&[file("equipment", EQUIPMENT), file(procedure, text)]);
        let machine = machine::compile(&reading.library, &procedure.into()).expect("it compiles");
        let proof =
            proof::prove(&machine, &Budget { boxes: 5_000, go_on: &|| true }).expect("every run replays");
        assert_eq!(proof.ended, None, "{procedure}");
        let refuted: Vec<_> = proof.refuted.iter().map(|refuted| refuted.obligation).collect();
        assert!(refuted.is_empty(), "{procedure}: {refuted:?}");
        assert!(proof.never_done.is_empty() && proof.idle.is_empty(), "{procedure}");
    }
}
