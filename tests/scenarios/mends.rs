//! Mends as the program shows and writes them.

use crate::support::demo;
use crate::support::edit::without;
use crate::support::run::gatewright;

/// Whether all lines of `part` stand in `whole` in their order.
fn keeps_every_line(part: &str, whole: &str) -> bool {
    let mut lines = whole.lines();
    part.lines().all(|line| lines.any(|other| other == line))
}

#[test]
fn the_program_prints_the_difference_and_writes_it_on_demand() {
    let folder = tempfile::tempdir().expect("a folder");
    let texts = [
        ("equipment.yaml", demo::text("equipment")),
        ("tip-swap.yaml", without(&demo::text("tip-swap"), "decay")),
    ];
    for (name, text) in texts {
        std::fs::write(folder.path().join(name), text).expect("written");
    }
    let run = |arguments: &[&str]| gatewright(folder.path(), arguments).output().expect("the program starts");
    let path = folder.path().join("tip-swap.yaml");
    let before = std::fs::read_to_string(&path).expect("readable");
    let shown = String::from_utf8(run(&["check", "--mend", "."]).stdout).expect("UTF-8");
    assert!(shown.contains("\n+    wait: { for: 45 s }\n"), "{shown}");
    assert_eq!(std::fs::read_to_string(&path).expect("readable"), before, "nothing is written unasked");
    run(&["check", "--mend", "--write", "."]);
    let after = std::fs::read_to_string(&path).expect("readable");
    assert!(keeps_every_line(&before, &after) && after != before);
    assert_eq!(run(&["check", "."]).status.code(), Some(0));
}
