//! `approve` and `list`, end to end: what is refused, what is written, what it is worth later.

use super::{gatewright, stderr, stdout};
use crate::support::demo;
use std::path::Path;
use std::process::Output;

/// A folder with the bundled documents and their people, and nothing approved.
pub(super) fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    for file in demo::files() {
        std::fs::write(folder.path().join(&file.name), &file.bytes).expect("written");
    }
    std::fs::write(folder.path().join("people.yaml"), demo::text("people")).expect("written");
    folder
}

pub(super) const OFFICER: [&str; 6] =
    ["--by", "Gwen Adeyi", "--role", "safety-officer", "--date", "2026-11-09"];

pub(super) fn approve(folder: &Path, procedure: &str, more: &[&str]) -> Output {
    gatewright(folder, &[&["approve", procedure, "--from", "."], more].concat())
}

pub(super) fn standing(folder: &Path, procedure: &str, on: &str) -> String {
    let output = gatewright(folder, &["list", "--from", ".", "--on", on]);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    let text = stdout(&output);
    let line = text.lines().find(|line| line.starts_with(procedure)).expect("a line for the procedure");
    line.to_owned()
}

#[test]
fn an_approval_is_given_shown_and_withdrawn() {
    let folder = folder();
    let folder = folder.path();
    assert!(standing(folder, "tip-swap", "2026-11-25").contains("Nobody has approved"));
    let walk = ["walk", "tip-swap", "--from", ".", "--person", "Tomas Reeve", "--serial", "OSK-0117"];
    let refused = gatewright(folder, &walk);
    assert_eq!(refused.status.code(), Some(1));
    assert!(stderr(&refused).contains("--training"), "{}", stderr(&refused));

    let grounds =
        ["--until", "2027-11-08", "--walkthrough", "Tomas Reeve, 2026-11-05, Larkmoor depot, OSK-0117"];
    let given = approve(folder, "tip-swap", &[&OFFICER[..], &grounds].concat());
    assert_eq!(given.status.code(), Some(0), "{}", stderr(&given));
    let text = std::fs::read_to_string(folder.join("tip-swap.approval.yaml")).expect("an approval");
    assert!(text.contains("place: \"Larkmoor depot, OSK-0117\""), "{text}");
    let schema: serde_json::Value = serde_json::from_str(
        &std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/schemas/approval.schema.json"))
            .expect("a schema"),
    )
    .expect("JSON");
    assert_eq!(schema["required"].as_array().map(Vec::len), Some(8));

    assert!(
        standing(folder, "tip-swap", "2026-11-25")
            .contains("Approved by Gwen Adeyi (safety officer) on 2026-11-09")
    );
    assert!(standing(folder, "tip-swap", "2027-11-08").contains("Approved by"), "the last day counts");
    assert!(standing(folder, "tip-swap", "2027-11-09").contains("ended on 2027-11-08"));
    assert!(standing(folder, "tip-swap", "2026-11-08").contains("it begins on 2026-11-09"));
    assert!(standing(folder, "unboxing", "2026-11-25").contains("Nobody has approved"));

    let card = |on| {
        let output = gatewright(folder, &["card", "tip-swap", "--from", ".", "--on", on]);
        assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
        std::fs::read_to_string(folder.join("out/tip-swap/card.txt")).expect("a card")
    };
    assert!(card("2026-11-25").contains("Approved by Gwen Adeyi on 2026-11-09, valid until 2027-11-08"));
    assert!(card("2028-01-01").contains("NOT APPROVED: expired"));

    let withdrawn =
        approve(folder, "tip-swap", &[&OFFICER[..], &["--withdraw", "The seal ring was changed."]].concat());
    assert_eq!(withdrawn.status.code(), Some(0), "{}", stderr(&withdrawn));
    assert!(
        standing(folder, "tip-swap", "2026-11-25")
            .contains("Withdrawn by Gwen Adeyi on 2026-11-09: The seal ring")
    );
    assert!(card("2026-11-25").contains("NOT APPROVED: withdrawn"));
}

#[test]
fn what_stands_against_an_approval_is_told() {
    let folder = folder();
    let folder = folder.path();
    let until = ["--until", "2027-11-08"];
    let by = |who, role, date| vec!["--by", who, "--role", role, "--date", date];
    let officer = by("Gwen Adeyi", "safety-officer", "2026-11-09");
    let walk = |text| [&officer[..], &until, &["--walkthrough", text]].concat();
    let cases: Vec<(Vec<&str>, &str)> = vec![
        (
            [&by("Ilse Marrow", "safety-officer", "2026-11-09")[..], &until].concat(),
            "Ilse Marrow wrote the procedure",
        ),
        ([&by("ilse  marrow", "safety-officer", "2026-11-09")[..], &until].concat(), "wrote the procedure"),
        (
            [&by("Tomas Reeve", "technician", "2026-11-09")[..], &until].concat(),
            "`technician` does not approve",
        ),
        ([&by("Tomas Reeve", "safety-officer", "2026-11-09")[..], &until].concat(), "does not hold the role"),
        (
            [&by("Gwen Adey", "safety-officer", "2026-11-09")[..], &until].concat(),
            "did you mean `Gwen Adeyi`?",
        ),
        (
            [&by("Gwen Adeyi", "safety-officer", "2029-01-06")[..], &["--until", "2030-01-01"]].concat(),
            "ended on 2029-01-05",
        ),
        ([&by("Gwen Adeyi", "safety-officer", "2025-01-05")[..], &until].concat(), "from 2025-01-06 only"),
        ([&officer[..], &["--until", "2026-11-08"]].concat(), "before it begins"),
        (walk("Ilse Marrow, 2026-11-05, Larkmoor depot"), "somebody else walks it through"),
        (walk("Nobody Atall, 2026-11-05, Larkmoor depot"), "not among the people"),
        (walk("Tomas Reeve, 2026-11-10, Larkmoor depot"), "lies after the approval"),
        ([&officer[..], &until, &["--accept", "P01@settle=Fine."]].concat(), "no finding P01@settle"),
    ];
    for (arguments, expected) in cases {
        let output = approve(folder, "tip-swap", &arguments);
        assert_eq!(output.status.code(), Some(1), "{expected}: {}", stderr(&output));
        assert!(stderr(&output).contains(expected), "{expected}: {}", stderr(&output));
        assert!(!folder.join("tip-swap.approval.yaml").exists(), "{expected}");
    }
    // An error, and a procedure whose author nobody knows.
    let text = demo::text("tip-swap");
    let wait = "  - id: decay\n    wait: { for: 45 s";
    let faulty = crate::support::edit::swap(&text, wait, &wait.replace("45", "30"));
    std::fs::write(folder.join("tip-swap.yaml"), faulty.replace("author: Ilse Marrow\n", ""))
        .expect("written");
    let output = approve(folder, "tip-swap", &[&officer[..], &until].concat());
    assert_eq!(output.status.code(), Some(1));
    for expected in ["is an error", "names no `author`"] {
        assert!(stderr(&output).contains(expected), "{}", stderr(&output));
    }
}

#[test]
fn a_procedure_is_returned_with_remarks() {
    let folder = folder();
    let folder = folder.path();
    let back = ["--return", "The wait is hard to see.", "--remark", "decay=Say who holds the timer."];
    let output = approve(folder, "tip-swap", &[&OFFICER[..], &back].concat());
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    let text = std::fs::read_to_string(folder.join("tip-swap.returned.yaml")).expect("remarks");
    let returned = review::Returned::parse(&text).expect("it reads");
    assert_eq!(returned.remarks[0].text, "Say who holds the timer.");
    assert_eq!(returned.text(), text, "it is written as it reads");
    let wrong = ["--return", "No.", "--remark", "decoy=x"];
    let output = approve(folder, "tip-swap", &[&OFFICER[..], &wrong].concat());
    assert!(stderr(&output).contains("did you mean `decay`?"), "{}", stderr(&output));
}

#[test]
fn an_approved_procedure_is_walked_for_real_and_only_then() {
    let folder = folder();
    let folder = folder.path();
    // Days that hold whenever the test is run: a walk asks the clock.
    let officer =
        ["--by", "Gwen Adeyi", "--role", "safety-officer", "--date", "2025-06-02", "--until", "2999-12-31"];
    assert_eq!(approve(folder, "tip-swap", &officer).status.code(), Some(0));
    let walk = |name: &str, more: &[&str]| {
        let walk = [
            "walk",
            "tip-swap",
            "--from",
            ".",
            "--person",
            "Tomas Reeve",
            "--serial",
            "OSK-0117",
            "--name",
            name,
        ];
        gatewright(folder, &[&walk[..], more].concat())
    };
    walk("real", &[]);
    walk("practice", &["--training"]);
    walk("rehearsed", &["--rehearsal"]);
    // Somebody without the role of a performer neither begins it nor goes on with it.
    let other = ["walk", "tip-swap", "--from", ".", "--person", "Gwen Adeyi", "--serial", "OSK-0117"];
    let no_technician = [&other[..], &["--name", "other"]].concat();
    let resuming = ["resume", "real", "--person", "Gwen Adeyi"];
    for arguments in [&no_technician[..], &resuming] {
        let refused = gatewright(folder, arguments);
        assert_eq!(refused.status.code(), Some(1), "{}{}", stdout(&refused), stderr(&refused));
        assert!(stderr(&refused).contains("Gwen Adeyi has not the role technician"), "{}", stderr(&refused));
    }
    let text = std::fs::read_to_string(folder.join("tip-swap.yaml")).expect("a procedure");
    std::fs::write(folder.join("tip-swap.yaml"), text.replace("time: 15 min", "time: 16 min"))
        .expect("written");
    let refused = walk("changed", &[]);
    assert!(stderr(&refused).contains("Changed since Gwen Adeyi approved"), "{}", stderr(&refused));
    // Whoever goes on is told what changed; from elsewhere nobody goes on, because nobody knows there who may.
    let resuming = ["resume", "real", "--person", "Tomas Reeve"];
    let told = stdout(&gatewright(folder, &resuming));
    assert!(
        told.contains(
            "CHANGED: What this procedure says was changed since this walk began, still as revision"
        ),
        "{told}"
    );
    let elsewhere = tempfile::tempdir().expect("a folder");
    let records = folder.join(".gatewright/records.sqlite");
    let journal = ["--journal", records.to_str().expect("a path")];
    std::fs::rename(folder.join("people.yaml"), elsewhere.path().join("people.yaml")).expect("moved");
    let away = elsewhere.path().join("none");
    std::fs::create_dir(&away).expect("a folder");
    let refused = gatewright(&away, &[&resuming[..], &journal].concat());
    assert_eq!(refused.status.code(), Some(2), "{}", stdout(&refused));
    std::fs::rename(elsewhere.path().join("people.yaml"), folder.join("people.yaml")).expect("moved");
    let list = stdout(&gatewright(folder, &["record", "list"]));
    let line = |name: &str| list.lines().find(|line| line.starts_with(name)).map(str::to_owned);
    assert!(line("real").is_some_and(|line| !line.contains("training")), "{list}");
    assert!(line("practice").is_some_and(|line| line.ends_with("  training only")), "{list}");
    assert!(line("rehearsed").is_some_and(|line| line.ends_with("  rehearsal, training only")), "{list}");
    // The procedure was approved that day: no record says otherwise.
    let shown = |name: &str| stdout(&gatewright(folder, &["record", "show", name]));
    assert!(shown("practice").contains("\n            TRAINING ONLY\n"), "{}", shown("practice"));
    assert!(
        shown("rehearsed").contains("\n            REHEARSAL - waits are not timed"),
        "{}",
        shown("rehearsed")
    );
    assert_eq!((line("changed"), line("other")), (None, None), "{list}");
}

#[test]
#[cfg(unix)]
fn an_approval_that_cannot_be_written_leaves_the_old_one_whole() {
    use std::os::unix::fs::{PermissionsExt as _, symlink};
    let folder = folder();
    let folder = folder.path();
    let kept = folder.join("kept.yaml");
    let approval = folder.join("tip-swap.approval.yaml");
    let until = |day: &'static str| [&OFFICER[..], &["--until", day]].concat();
    assert_eq!(approve(folder, "tip-swap", &until("2027-11-08")).status.code(), Some(0));
    // It is kept elsewhere, where a group may write it.
    std::fs::rename(&approval, &kept).expect("moved");
    std::fs::set_permissions(&kept, std::fs::Permissions::from_mode(0o664)).expect("permissions");
    symlink("kept.yaml", &approval).expect("a link");
    let before = std::fs::read(&kept).expect("an approval");
    // No byte more fits on the disk, as a limit of the file's size makes it.
    let full = std::process::Command::new("sh")
        .args(["-c", "trap '' XFSZ; ulimit -f 0; exec \"$@\"", "sh", env!("CARGO_BIN_EXE_gatewright")])
        .args([&["approve", "tip-swap", "--from", "."], &until("2027-10-31")[..]].concat())
        .current_dir(folder)
        .output()
        .expect("the program runs");
    assert!(!full.status.success());
    assert!(stderr(&full).contains("tip-swap.approval.yaml` cannot be written"), "{}", stderr(&full));
    assert!(std::fs::read(&kept).expect("an approval") == before, "the old one is not whole");
    // Where there is room the link stays one, the rights stay, and nothing lies about.
    assert_eq!(approve(folder, "tip-swap", &until("2027-10-31")).status.code(), Some(0));
    assert!(std::fs::read_to_string(&kept).expect("an approval").contains("2027-10-31"));
    assert!(approval.is_symlink());
    assert_eq!(std::fs::metadata(&kept).expect("a file").permissions().mode() & 0o777, 0o664);
    let names =
        std::fs::read_dir(folder).expect("the folder").map(|entry| entry.expect("an entry").file_name());
    let left: Vec<_> = names.filter(|name| name.to_string_lossy().ends_with(".new")).collect();
    assert!(left.is_empty(), "{left:?}");
}
