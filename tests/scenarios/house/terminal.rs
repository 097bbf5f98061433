//! The program without `web` and `pdf` carries nothing of a server, of PDF or of pictures.

use super::tree;

/// What the server, its description, the PDF writer and the photos bring.
const ELSEWHERE: [&str; 7] = ["axum", "hyper", "image", "krilla", "parley", "schemars", "tokio"];

#[test]
fn the_terminal_alone_carries_no_server_and_no_paper() {
    let (all, terminal) = (tree(&[]), tree(&["--no-default-features"]));
    for name in ELSEWHERE {
        assert!(all.contains(name), "`{name}` is nowhere: this list is out of date");
        assert!(!terminal.contains(name), "the terminal alone carries `{name}`");
    }
    assert!(terminal.contains("walk") && terminal.contains("credentials"), "{terminal:?}");
}
