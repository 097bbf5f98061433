//! The bundled procedures.

use document::InputFile;

/// The procedures that are bundled with the program.
pub(crate) const PROCEDURES: [&str; 7] = [
    "battery-replacement",
    "first-flush",
    "pump-head",
    "strainer-clean",
    "tip-swap",
    "unboxing",
    "wand-reassembly",
];

/// All files of the bundled equipment, in order of their names.
pub(crate) fn files() -> Vec<InputFile> {
    let mut names: Vec<&str> = PROCEDURES.into_iter().chain(["equipment"]).collect();
    names.sort_unstable();
    let file = |name| InputFile { name: format!("{name}.yaml"), bytes: text(name).into_bytes() };
    names.into_iter().map(file).collect()
}

/// A file of the bundled equipment as text.
#[expect(clippy::disallowed_methods, reason = "the test reads the bundled documents")]
pub(crate) fn text(name: &str) -> String {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../procedures/oskerry-22");
    std::fs::read_to_string(folder.join(format!("{name}.yaml"))).expect("a bundled file")
}
