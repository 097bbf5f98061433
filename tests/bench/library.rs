//! Many procedures at once, from files to findings.

use super::documents::{equipment, procedure, program, restorable};
use super::rows::{row, table, time};
use super::sequence::straight;
use std::fmt::Write;

/// Conditions of each.
const CONDITIONS: usize = 10;
/// Steps of each procedure.
const STEPS: usize = 20;

pub(crate) fn run() {
    table(
        "A library of procedures of 20 steps, whole program",
        &["procedures", "what", "size", "time", "a procedure"],
    );
    let plain = (equipment(CONDITIONS), false, "no safe state");
    let whole = (
        restorable(CONDITIONS, ", lapses: 15 min"),
        true,
        "a safe state, lapses, every tenth performs another",
    );
    for (rig, performs, what) in [plain, whole] {
        for count in [1_000, 10_000] {
            let folder = tempfile::tempdir().expect("a folder");
            std::fs::write(folder.path().join("equipment.yaml"), &rig).expect("written");
            let mut bytes = 0;
            for at in 0..count {
                let mut steps = straight(STEPS, CONDITIONS);
                if performs && at % 10 == 9 {
                    let _ = writeln!(steps, "  - id: part\n    perform: p{}", at - 1);
                }
                let text = procedure(&format!("p{at}"), &steps);
                bytes += text.len();
                std::fs::write(folder.path().join(format!("p{at}.yaml")), text).expect("written");
            }
            let took = program(folder.path());
            let size = format!("{:.1} MB", bytes as f64 / 1e6);
            row(&[count.to_string(), what.to_owned(), size, time(took), time(took / count)]);
        }
    }
}
