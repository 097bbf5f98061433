//! A folder with one equipment and one procedure.

use std::path::Path;

/// Writes both below `procedures`, in a folder of their own.
pub(super) fn site(folder: &Path, equipment: &str, procedure: &str) {
    let machine = folder.join("procedures/machine");
    std::fs::create_dir_all(&machine).expect("a folder");
    for (name, text) in [("equipment.yaml", equipment), ("procedure.yaml", procedure)] {
        std::fs::write(machine.join(name), text).expect("written");
    }
}
