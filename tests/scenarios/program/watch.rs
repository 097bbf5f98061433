//! `check --watch`.

use super::root;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};

/// A program that is ended with its test.
struct Watching(Child);

impl Drop for Watching {
    fn drop(&mut self) {
        // It may have ended by itself, which the test then told.
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

fn until(lines: &mut impl Iterator<Item = std::io::Result<String>>, wanted: &str) -> Vec<String> {
    let mut told = Vec::new();
    for line in lines {
        let line = line.expect("readable");
        let found = line.contains(wanted);
        told.push(line);
        if found {
            return told;
        }
    }
    panic!("`{wanted}` was never said: {told:#?}");
}

fn change(path: &Path, from: &str, to: &str) {
    let text = std::fs::read_to_string(path).expect("readable");
    assert!(text.contains(from), "`{from}` is not there to be changed");
    std::fs::write(path, text.replace(from, to)).expect("written");
}

/// The demo library in a folder of its own.
fn demo() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    for entry in std::fs::read_dir(root().join("procedures/oskerry-22")).expect("the demo library") {
        let entry = entry.expect("an entry");
        std::fs::copy(entry.path(), folder.path().join(entry.file_name())).expect("copied");
    }
    folder
}

fn watching(folder: &Path) -> (Watching, impl Iterator<Item = std::io::Result<String>>) {
    let mut child = Command::new(env!("CARGO_BIN_EXE_gatewright"))
        .current_dir(folder)
        .env_clear()
        .args(["check", "--watch", "."])
        .stdout(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let lines = BufReader::new(child.stdout.take().expect("an output")).lines();
    (Watching(child), lines)
}

#[test]
fn a_saved_file_is_checked_again_with_all_that_hangs_on_it() {
    let folder = demo();
    let (_watching, mut lines) = watching(folder.path());
    let told = until(&mut lines, " read; ");
    assert!(
        told.iter().any(|line| line.contains("7 procedures and 1 equipment document read; nothing found"))
    );

    let tip_swap = folder.path().join("tip-swap.yaml");
    change(&tip_swap, "wait: { for: 45 s", "wait: { for: 44 s");
    let told = until(&mut lines, "checked again in");
    assert!(told.iter().any(|line| line.contains("error[P01]")), "{told:#?}");
    assert!(
        told.iter().any(|line| line.contains("1 procedure and 1 equipment document")),
        "only what hangs on it"
    );

    change(&tip_swap, "wait: { for: 44 s", "wait: { for: 45 s");
    let told = until(&mut lines, "checked again in");
    assert!(told.iter().any(|line| line.contains("nothing found")), "{told:#?}");

    // The equipment concerns every procedure on it, and no other.
    change(&folder.path().join("equipment.yaml"), "after: 45 s", "after: 60 s");
    let told = until(&mut lines, "checked again in");
    assert!(told.iter().any(|line| line.contains("7 procedures")), "{told:#?}");
    assert!(told.iter().filter(|line| line.starts_with("error[P0")).count() >= 5, "{told:#?}");
}

#[test]
fn of_a_saved_equipment_the_procedures_on_it_are_checked_again_and_no_others() {
    let folder = demo();
    let rig = "equipment: rig\ntitle: A rig\nrevision: 1\ndefer: The maker's instructions come first.\n\
               conditions: { tap: { values: [shut, open], ask: Is the tap shut? } }\n\
               roles: { technician: Works on the rig. }\n";
    let small = "procedure: small\ntitle: Shut the tap\nequipment: rig\nrevision: 1\npurpose: Work.\nscope: The rig.\n\
                 performers: { technician: 1 }\ntime: 5 min\nlevel_of_use: continuous\ntools: none\nsupplies: none\n\
                 spares: none\nwear: none\nsteps:\n  - id: shut\n    do: Shut the tap.\n    leaves: { tap: shut }\n";
    for (name, text) in [("rig.yaml", rig), ("small.yaml", small)] {
        std::fs::write(folder.path().join(name), text).expect("written");
    }
    let (_watching, mut lines) = watching(folder.path());
    until(&mut lines, " read; ");
    let rig = folder.path().join("rig.yaml");
    change(&rig, "[shut, open]", "[closed, open]");
    let told = until(&mut lines, "checked again in");
    assert!(told.iter().any(|line| line.contains("`tap` has no value `shut`")), "{told:#?}");
    assert!(!told.iter().any(|line| line.contains("tip-swap")), "{told:#?}");
    change(&rig, "[closed, open]", "[shut, open]");
    let told = until(&mut lines, "checked again in");
    assert!(told.iter().any(|line| line.contains("1 procedure and 1 equipment document")), "{told:#?}");
}
