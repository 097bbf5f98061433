//! The house keeps its rules: layers, top level, files and words.

mod arrows;
mod circles;
mod dependencies;
mod duplicates;
mod terminal;
mod tidy;
mod tokens;

use serde_json::Value;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::Command;

/// The folder of the project.
fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The packages of the workspace, as cargo describes them.
fn metadata() -> Vec<Value> {
    let output = Command::new(env!("CARGO"))
        .args(["metadata", "--no-deps", "--format-version", "1", "--offline"])
        .current_dir(root())
        .output()
        .expect("cargo metadata runs");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let metadata: Value = serde_json::from_slice(&output.stdout).expect("cargo metadata gives JSON");
    metadata["packages"].as_array().expect("packages").clone()
}

/// The names of the crates in the program, as cargo resolves them for this system.
fn tree(arguments: &[&str]) -> BTreeSet<String> {
    let output = Command::new(env!("CARGO"))
        .args(["tree", "--edges", "normal", "--prefix", "none", "--locked", "--offline"])
        .args(arguments)
        .current_dir(root())
        .output()
        .expect("cargo tree runs");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let text = String::from_utf8(output.stdout).expect("names are UTF-8");
    text.lines()
        .filter_map(|line| line.split(' ').next())
        .filter(|name| !name.is_empty())
        .map(str::to_owned)
        .collect()
}

/// Every file of Rust in a folder and the folders in it.
fn sources(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).expect("the folder can be read") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            found.extend(sources(&path));
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            found.push(path);
        }
    }
    found
}
