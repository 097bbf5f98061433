//! Many procedures at once, from files to findings.

use super::documents::{equipment, procedure, program};
use super::rows::{row, table, time};
use super::sequence::straight;

pub(crate) fn run() {
    table(
        "A library of procedures of 20 steps, whole program",
        &["procedures", "size", "time", "a procedure"],
    );
    for count in [1_000, 10_000] {
        let folder = tempfile::tempdir().expect("a folder");
        std::fs::write(folder.path().join("equipment.yaml"), equipment(10)).expect("written");
        let mut bytes = 0;
        for at in 0..count {
            let text = procedure(&format!("p{at}"), &straight(20, 10));
            bytes += text.len();
            std::fs::write(folder.path().join(format!("p{at}.yaml")), text).expect("written");
        }
        let whole = program(folder.path());
        row(&[count.to_string(), format!("{:.1} MB", bytes as f64 / 1e6), time(whole), time(whole / count)]);
    }
}
