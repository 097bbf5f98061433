//! The signed head of the records, with `ssh-keygen` as the reference.

use super::Site;
use crate::support::run::{gatewright, keygen, stdout};
use std::process::Command;

const BY: &str = "adeyi@larkmoor.example";

fn verify(site: &Site, more: &[&str]) -> (Option<i32>, String) {
    let given = [&["record", "verify", "--journal", "records.sqlite"], more].concat();
    let output = gatewright(site.path(), &given).output().expect("the program runs");
    (output.status.code(), stdout(&output) + &String::from_utf8_lossy(&output.stderr))
}

#[test]
fn the_head_is_signed_and_shows_what_was_taken_away_later() {
    let site = Site::new("site: { zone: Etc/UTC }\nregister: {}\n");
    site.walk("strainer-clean", "OSK-0117", 0, true, None);
    assert!(keygen(site.path(), &["-q", "-N", "", "-C", "", "-t", "ed25519", "-f", "key"], b""));
    let public = std::fs::read_to_string(site.path().join("key.pub")).expect("a public key");
    site.write("signers", &format!("{BY} {public}"));
    let (status, told) = verify(&site, &["--sign", "key", "--head", "head.txt"]);
    assert_eq!(status, Some(0), "{told}");
    let head = std::fs::read(site.path().join("head.txt")).expect("a head");
    let theirs =
        ["-Y", "verify", "-n", "gatewright-records", "-I", BY, "-f", "signers", "-s", "head.txt.sig"];
    assert!(keygen(site.path(), &theirs, &head), "ssh-keygen accepts it");
    assert!(!keygen(site.path(), &theirs, b"gatewright records\nrecords 1\n"), "and no other text");
    let check = ["--head", "head.txt", "--allowed-signers", "signers", "--by", BY];
    assert!(verify(&site, &check).1.contains(&format!("signed by {BY}: the first ")));
    // One that ssh-keygen made counts as well; records added later change nothing; one for something else does not count.
    std::fs::remove_file(site.path().join("head.txt.sig")).expect("removed");
    assert!(keygen(
        site.path(),
        &["-Y", "sign", "-q", "-n", "gatewright-records", "-f", "key", "head.txt"],
        b""
    ));
    site.walk("strainer-clean", "OSK-0118", 1, true, None);
    assert_eq!(verify(&site, &check).0, Some(0));
    std::fs::remove_file(site.path().join("head.txt.sig")).expect("removed");
    assert!(keygen(
        site.path(),
        &["-Y", "sign", "-q", "-n", "gatewright-approval", "-f", "key", "head.txt"],
        b""
    ));
    let (status, told) = verify(&site, &check);
    assert!(status == Some(1) && told.contains("made for `gatewright-approval`"), "{told}");
    // That its end was taken away is told by what lists tell; where that was taken away as well, by the head alone.
    verify(&site, &["--sign", "key", "--head", "head.txt"]);
    let change = |sql: &str| {
        let cut = Command::new("sqlite3").arg(site.records()).arg(sql).status().expect("sqlite3 runs");
        assert!(cut.success());
    };
    change(
        "DROP TRIGGER record_kept; DELETE FROM record WHERE global_seq = (SELECT max(global_seq) FROM record);",
    );
    let (status, told) = verify(&site, &[]);
    assert!(status == Some(1) && told.contains("were removed"), "{told}");
    change("DROP TRIGGER summary_stays; DELETE FROM summary;");
    assert_eq!(verify(&site, &[]).0, Some(0));
    let (status, told) = verify(&site, &check);
    assert!(status == Some(1) && told.contains("not what was signed"), "{told}");
}
