//! The bundled procedures, as files and as a library.

use document::{InputFile, Reading};
use std::path::Path;

/// The procedures that are bundled with the program.
pub(crate) const PROCEDURES: [&str; 7] = [
    "battery-replacement",
    "earth-plate",
    "first-flush",
    "strainer-clean",
    "tip-swap",
    "unboxing",
    "wand-reassembly",
];

/// All files of the bundled equipment.
pub(crate) fn files() -> Vec<InputFile> {
    let names = PROCEDURES.into_iter().chain(["equipment"]);
    names.map(|name| file(name, &text(name))).collect()
}

/// A file of the bundled equipment as text.
pub(crate) fn text(name: &str) -> String {
    read(&format!("../../procedures/oskerry-22/{name}.yaml"))
}

/// The bundled equipment with one procedure, as it is or edited.
pub(crate) fn reading(name: &str, procedure: &str) -> Reading {
    document::read(&[file("equipment", &text("equipment")), file(name, procedure)])
}

/// A file as text, from this member's folder.
#[expect(clippy::disallowed_methods, reason = "the suite reads what is bundled")]
pub(crate) fn read(path: &str) -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(path)).expect("the file is there")
}

pub(crate) fn file(name: &str, text: &str) -> InputFile {
    InputFile { name: format!("{name}.yaml"), bytes: text.as_bytes().to_vec() }
}
