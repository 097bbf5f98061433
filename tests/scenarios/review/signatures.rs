//! Signatures against the real `ssh-keygen`: it accepts what we sign, and we refuse what it refuses.

use super::approving::{OFFICER, approve, folder, standing};
use super::stderr;
use crate::support::run::keygen;
use review::{Day, NAMESPACE, Signers, sign, verify};
use std::path::{Path, PathBuf};
use std::process::Command;

const PRINCIPAL: &str = "adeyi@larkmoor.example";
const TEXT: &[u8] = b"approval: tip-swap\n";

/// A new key; its private and its public half.
fn key(folder: &Path, name: &str, kind: &[&str]) -> (PathBuf, String) {
    let made = keygen(folder, &[&["-q", "-N", "", "-C", "", "-f", name, "-t"], kind].concat(), b"");
    assert!(made, "a key of kind {kind:?}");
    let public = std::fs::read_to_string(folder.join(format!("{name}.pub"))).expect("a public key");
    (folder.join(name), public.trim().to_owned())
}

fn ours(text: &[u8], signature: &str, signers: &str) -> bool {
    let on = Day::parse("2026-11-09").expect("a day");
    match Signers::parse(signers) {
        Ok(signers) => verify(text, signature, PRINCIPAL, &signers, &on, NAMESPACE).is_ok(),
        Err(_) => false,
    }
}

fn theirs(folder: &Path, text: &[u8], signature: &str, signers: &str) -> bool {
    std::fs::write(folder.join("text.sig"), signature).expect("written");
    std::fs::write(folder.join("signers"), signers).expect("written");
    let on = "-Overify-time=20261109120000";
    let verify = ["-Y", "verify", on, "-n", NAMESPACE, "-I", PRINCIPAL, "-f", "signers", "-s", "text.sig"];
    keygen(folder, &verify, text)
}

/// The text as `ssh-keygen` signs it.
fn signed(folder: &Path, namespace: &str, by: &str) -> String {
    std::fs::write(folder.join("body"), TEXT).expect("written");
    let _ = std::fs::remove_file(folder.join("body.sig"));
    assert!(keygen(folder, &["-Y", "sign", "-q", "-n", namespace, "-f", by, "body"], b""));
    std::fs::read_to_string(folder.join("body.sig")).expect("a signature")
}

#[test]
fn ssh_keygen_accepts_what_we_sign_with_every_kind_of_key() {
    let folder = tempfile::tempdir().expect("a folder");
    for (name, kind) in [("ed", &["ed25519"][..]), ("ec", &["ecdsa", "-b", "256"])] {
        let (private, public) = key(folder.path(), name, kind);
        let private = std::fs::read_to_string(private).expect("a private key");
        let signature = sign(TEXT, &private, NAMESPACE).expect("signed");
        let signers = format!("{PRINCIPAL} {public}\n");
        assert!(
            theirs(folder.path(), TEXT, &signature, &signers),
            "{name}: ssh-keygen refuses what we signed"
        );
        assert!(ours(TEXT, &signature, &signers), "{name}: we refuse what we signed");
    }
    // RSA keys are read and verified, and the message says how to sign with them.
    let (private, public) = key(folder.path(), "rsa", &["rsa", "-b", "3072"]);
    let why = sign(TEXT, &std::fs::read_to_string(private).expect("a private key"), NAMESPACE)
        .expect_err("not here");
    assert!(why.to_string().contains("ssh-keygen -Y sign"), "{why}");
    let signature = signed(folder.path(), NAMESPACE, "rsa");
    assert!(ours(TEXT, &signature, &format!("{PRINCIPAL} {public}\n")), "what ssh-keygen signs with RSA");
}

#[test]
fn we_and_ssh_keygen_agree_on_what_counts() {
    let folder = tempfile::tempdir().expect("a folder");
    let (private, public) = key(folder.path(), "own", &["ed25519"]);
    let (_, stranger) = key(folder.path(), "stranger", &["ed25519"]);
    let good = signed(folder.path(), NAMESPACE, "own");
    let own = format!("{PRINCIPAL} {public}\n");
    let with = |options: &str| format!("{PRINCIPAL} {options} {public}\n");
    let damaged = good.replacen("AAAA", "AAAB", 1);
    let cases: Vec<(&str, &[u8], String, String, bool)> = vec![
        ("as signed", TEXT, good.clone(), own.clone(), true),
        ("altered content", b"approval: tip-swop\n", good.clone(), own.clone(), false),
        ("content with one more line end", b"approval: tip-swap\n\n", good.clone(), own.clone(), false),
        ("another purpose", TEXT, signed(folder.path(), "file", "own"), own.clone(), false),
        ("an unlisted key", TEXT, signed(folder.path(), NAMESPACE, "stranger"), own.clone(), false),
        ("another person's key", TEXT, good.clone(), format!("voss@larkmoor.example {public}\n"), false),
        ("the person with another key", TEXT, good.clone(), format!("{PRINCIPAL} {stranger}\n"), false),
        ("one of two keys", TEXT, good.clone(), format!("{PRINCIPAL} {stranger}\n# second\n{own}"), true),
        ("a pattern", TEXT, good.clone(), format!("*@larkmoor.example {public}\n"), true),
        (
            "a pattern that forbids",
            TEXT,
            good.clone(),
            format!("*@larkmoor.example,!adeyi@* {public}\n"),
            false,
        ),
        ("a quoted list", TEXT, good.clone(), format!("\"x@y,{PRINCIPAL}\" {public}\n"), true),
        ("the right purpose", TEXT, good.clone(), with(&format!("namespaces=\"file,{NAMESPACE}\"")), true),
        ("only another purpose", TEXT, good.clone(), with("namespaces=\"file\""), false),
        ("a pattern of purposes", TEXT, good.clone(), with("namespaces=\"gatewright-*\""), true),
        (
            "valid that day",
            TEXT,
            good.clone(),
            with("valid-after=\"20260101\",valid-before=\"20270101\""),
            true,
        ),
        ("not yet valid", TEXT, good.clone(), with("valid-after=\"20270101\""), false),
        ("no longer valid", TEXT, good.clone(), with("valid-before=\"20260101\""), false),
        ("a damaged signature", TEXT, damaged, own.clone(), false),
        ("no signature", TEXT, String::from("signed, really"), own.clone(), false),
        ("nobody listed", TEXT, good.clone(), String::from("# nobody\n"), false),
    ];
    for (what, text, signature, signers, counts) in cases {
        assert_eq!(theirs(folder.path(), text, &signature, &signers), counts, "{what}: ssh-keygen");
        assert_eq!(ours(text, &signature, &signers), counts, "{what}: we");
    }
    assert!(private.exists());
}

#[test]
fn a_signed_approval_binds_and_an_unsigned_one_does_not_where_keys_are_listed() {
    let folder = folder();
    let folder = folder.path();
    let (private, public) = key(folder, "officer", &["ed25519"]);
    let people = std::fs::read_to_string(folder.join("people.yaml")).expect("people");
    let people = crate::support::edit::swap(
        &people,
        "  Gwen Adeyi:\n",
        &format!("  Gwen Adeyi:\n    signs_as: {PRINCIPAL}\n"),
    );
    std::fs::write(folder.join("people.yaml"), people).expect("written");
    let private = private.display().to_string();
    let until = ["--until", "2027-11-08"];
    let signed = approve(folder, "tip-swap", &[&OFFICER[..], &until, &["--sign", &private]].concat());
    assert_eq!(signed.status.code(), Some(0), "{}", stderr(&signed));
    let shown = || standing(folder, "tip-swap", "2026-11-25");
    assert!(shown().contains("no `allowed-signers` says whose keys count"), "{}", shown());
    std::fs::write(folder.join("allowed-signers"), format!("{PRINCIPAL} {public}\n")).expect("written");
    assert!(shown().contains("Approved by"), "{}", shown());
    // A change that leaves the meaning, but not the bytes.
    let path = folder.join("tip-swap.approval.yaml");
    let text = std::fs::read_to_string(&path).expect("an approval");
    std::fs::write(&path, format!("{text}# filed\n")).expect("written");
    assert!(shown().contains("does not fit the text"), "{}", shown());
    std::fs::write(&path, text).expect("written");
    std::fs::remove_file(folder.join("tip-swap.approval.yaml.sig")).expect("removed");
    assert!(shown().contains("it is not signed"), "{}", shown());
    // A key with a passphrase cannot be used here, and the message says what can be done.
    assert!(
        Command::new("ssh-keygen")
            .current_dir(folder)
            .args(["-q", "-t", "ed25519", "-N", "a passphrase", "-f", "locked"])
            .status()
            .expect("ssh-keygen")
            .success()
    );
    let locked = approve(folder, "tip-swap", &[&OFFICER[..], &until, &["--sign", "locked"]].concat());
    assert!(stderr(&locked).contains("ssh-keygen -Y sign"), "{}", stderr(&locked));
}
