//! Tags, language, title, descriptions, sizes of type, metadata: read by a general-purpose library.

use super::{PAPERS, card_of, cards, outside, pages, root};

#[test]
fn the_files_have_the_structure_that_the_standards_ask_for() {
    let folder = cards();
    let script = root().join("tests/scenarios/paper/structure.py");
    let mut arguments = vec![script.display().to_string()];
    for page in pages() {
        let identity = &page.identity;
        for (_, ending, ..) in PAPERS {
            arguments.push(card_of(&folder, &identity.id, ending).display().to_string());
            arguments.push(format!("{} ({}, revision {})", identity.title, identity.id, identity.revision));
            arguments.push(identity.effective.clone().expect("a date"));
        }
    }
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let said = outside(&root().join("target/outside/python/bin/python"), &arguments);
    assert_eq!(said, "");
}
