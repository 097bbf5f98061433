//! Crates that the program carries in several versions: those that `engine/MEASURED.md` explains, and no others.

use super::{root, tree};
use std::collections::BTreeSet;

#[test]
fn each_crate_in_several_versions_is_explained() {
    let text = std::fs::read_to_string(root().join("engine/MEASURED.md")).expect("the figures");
    let section =
        text.split("\n## ").find(|section| section.starts_with("Duplicate crates")).expect("a section");
    let rows = section.lines().filter(|line| line.starts_with('|')).skip(2);
    let names =
        rows.flat_map(|row| row.trim_start_matches('|').split('|').next().unwrap_or_default().split(','));
    let explained: BTreeSet<String> = names.map(|name| name.trim().to_owned()).collect();
    assert_eq!(explained, tree(&["--duplicates", "--depth", "0"]));
}
