//! The program without `web` and `pdf` carries nothing of a server, of PDF or of pictures.

use super::root;
use std::collections::BTreeSet;
use std::process::Command;

/// What the server, the PDF writer and the photos bring.
const ELSEWHERE: [&str; 6] = ["axum", "hyper", "image", "krilla", "parley", "tokio"];

/// The names of all crates in the program, as cargo resolves them for this system.
fn crates(features: &[&str]) -> BTreeSet<String> {
    let output = Command::new(env!("CARGO"))
        .args(["tree", "--edges", "normal", "--prefix", "none", "--locked", "--offline"])
        .args(features)
        .current_dir(root())
        .output()
        .expect("cargo tree runs");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let text = String::from_utf8(output.stdout).expect("names are UTF-8");
    text.lines().filter_map(|line| line.split(' ').next()).map(str::to_owned).collect()
}

#[test]
fn the_terminal_alone_carries_no_server_and_no_paper() {
    let (all, terminal) = (crates(&[]), crates(&["--no-default-features"]));
    for name in ELSEWHERE {
        assert!(all.contains(name), "`{name}` is nowhere: this list is out of date");
        assert!(!terminal.contains(name), "the terminal alone carries `{name}`");
    }
    assert!(terminal.contains("walk") && terminal.contains("credentials"), "{terminal:?}");
}
