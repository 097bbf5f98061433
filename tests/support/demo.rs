//! The bundled procedures, as files and as a library; an edited copy of one.

use document::{InputFile, Reading};
use std::path::{Path, PathBuf};

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

/// Puts the bundled documents into a folder, below `procedures`, with people whose roles do not end in our time: what is
/// tested must not change with the day. A role that has ended already stays so.
pub(crate) fn site(folder: &Path) {
    let to = folder.join("procedures/oskerry-22");
    if to.exists() {
        return;
    }
    std::fs::create_dir_all(&to).expect("a folder");
    for entry in std::fs::read_dir(bundled()).expect("the bundled folder") {
        let path = entry.expect("an entry").path();
        let mut text = std::fs::read_to_string(&path).expect("a bundled file");
        let name = path.file_name().expect("a name");
        if name == "people.yaml" {
            for year in ["2027", "2028", "2029"] {
                text = text.replace(&format!("until: {year}"), "until: 2099");
            }
        }
        std::fs::write(to.join(name), text).expect("written");
    }
}

/// The folder of the bundled equipment: suites of members are built below it.
fn bundled() -> PathBuf {
    let mut above =
        Path::new(env!("CARGO_MANIFEST_DIR")).ancestors().map(|one| one.join("procedures/oskerry-22"));
    above.find(|folder| folder.is_dir()).expect("the bundled folder")
}

/// A file of the bundled equipment as text.
pub(crate) fn text(name: &str) -> String {
    let folder = bundled();
    std::fs::read_to_string(folder.join(format!("{name}.yaml"))).expect("a bundled file")
}

/// The bundled equipment with one procedure, as it is or edited.
pub(crate) fn reading(name: &str, procedure: &str) -> Reading {
    let file =
        |name: &str, text: &str| InputFile { name: format!("{name}.yaml"), bytes: text.as_bytes().to_vec() };
    document::read(&[file("equipment", &text("equipment")), file(name, procedure)])
}
