//! `check --certificate` and `certificate verify`.

use crate::support::demo::{PROCEDURES, site};
use crate::support::run::{gatewright, stderr, stdout};
use std::path::Path;
use std::process::Output;

fn run(folder: &Path, arguments: &[&str]) -> Output {
    gatewright(folder, arguments).output().expect("the program starts")
}

/// How large those of the bundled procedures may be together.
const MOST: u64 = 200_000;

#[test]
fn what_is_proved_is_kept_and_checked_again_without_proving_it() {
    let folder = tempfile::tempdir().expect("a folder");
    let folder = folder.path();
    site(folder);
    let checked = run(folder, &["check", "--certificate", "kept.json"]);
    assert_eq!(checked.status.code(), Some(0), "{}", stderr(&checked));
    let said = stdout(&checked);
    assert_eq!(said.matches("proved on every path, checked by a second program").count(), PROCEDURES.len());
    let kept = folder.join("kept.json");
    assert!(std::fs::metadata(&kept).expect("the file").len() < MOST);
    let text = std::fs::read_to_string(&kept).expect("text");
    // The same content and version: the same bytes.
    run(folder, &["check", "--certificate", "again.json"]);
    assert_eq!(std::fs::read_to_string(folder.join("again.json")).expect("text"), text);
    let verified = run(folder, &["certificate", "verify", "kept.json"]);
    assert_eq!(verified.status.code(), Some(0), "{}", stdout(&verified));
    assert_eq!(stdout(&verified).matches("the certificate is right").count(), PROCEDURES.len());
}

#[test]
fn a_certificate_of_other_content_or_another_version_is_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    let folder = folder.path();
    site(folder);
    run(folder, &["check", "--certificate", "kept.json"]);
    let text = std::fs::read_to_string(folder.join("kept.json")).expect("text");
    let version = format!("\"program\":\"{}\"", env!("CARGO_PKG_VERSION"));
    std::fs::write(folder.join("other.json"), text.replace(&version, "\"program\":\"0.0.0\""))
        .expect("written");
    let refused = run(folder, &["certificate", "verify", "other.json"]);
    assert_eq!(refused.status.code(), Some(1));
    assert_eq!(
        stdout(&refused).matches("refused: it was written by version 0.0.0").count(),
        PROCEDURES.len()
    );
    // One wait is longer by now: the others are as they were.
    let path = folder.join("procedures/oskerry-22/tip-swap.yaml");
    let before = std::fs::read_to_string(&path).expect("text");
    let after = before.replacen("45 s", "50 s", 1);
    assert_ne!(before, after, "there is a wait to be made longer");
    std::fs::write(&path, after).expect("written");
    let refused = run(folder, &["certificate", "verify", "kept.json"]);
    assert_eq!(refused.status.code(), Some(1));
    assert_eq!(stdout(&refused).matches("refused: it is of another content").count(), 1);
    assert_eq!(stdout(&refused).matches("the certificate is right").count(), PROCEDURES.len() - 1);
}

#[test]
fn what_is_no_file_of_certificates_is_said_to_be_none() {
    let folder = tempfile::tempdir().expect("a folder");
    let folder = folder.path();
    site(folder);
    for (text, code, says) in [
        ("{\"certificates\":[]}", 1, "there is no certificate in it"),
        ("{}", 2, "is no file of certificates"),
        ("", 2, "is no file of certificates"),
    ] {
        std::fs::write(folder.join("file.json"), text).expect("written");
        let said = run(folder, &["certificate", "verify", "file.json"]);
        assert_eq!(said.status.code(), Some(code), "{text}");
        assert!((stdout(&said) + &stderr(&said)).contains(says), "{text}");
    }
    let missing = run(folder, &["certificate", "verify", "missing.json"]);
    assert_eq!(missing.status.code(), Some(2));
}

#[test]
fn clauses_leave_nothing_out_in_silence() {
    let folder = tempfile::tempdir().expect("a folder");
    let folder = folder.path();
    site(folder);
    let whole = run(folder, &["check", "--form", "smt2"]);
    assert_eq!(whole.status.code(), Some(0), "{}", stderr(&whole));
    let about = |output: &Output, name: &str| stdout(output).contains(&format!("; {name}\n"));
    assert!(PROCEDURES.iter().all(|name| about(&whole, name)));
    let path = folder.join("procedures/oskerry-22/tip-swap.yaml");
    let text = std::fs::read_to_string(&path).expect("text");
    std::fs::write(&path, text.replacen("45 s", "45 parsecs", 1)).expect("written");
    let less = run(folder, &["check", "--form", "smt2"]);
    assert_eq!(less.status.code(), Some(1));
    assert!(stderr(&less).contains("tip-swap.yaml"), "{}", stderr(&less));
    let left_out: Vec<_> = PROCEDURES.into_iter().filter(|name| !about(&less, name)).collect();
    assert_eq!(left_out, ["tip-swap"]);
    for option in ["--mend", "--certificate=kept.json"] {
        let refused = run(folder, &["check", "--form", "smt2", option]);
        assert_eq!(refused.status.code(), Some(2));
        assert!(stderr(&refused).contains("nothing is proved"), "{}", stderr(&refused));
    }
    assert!(!folder.join("kept.json").exists());
}
