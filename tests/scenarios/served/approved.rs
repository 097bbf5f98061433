//! What is approved is walked for good; everything else is training, whatever a form says.

use super::device::Device;
use super::server::{SMALL, Server};
use crate::walks::root;
use std::path::Path;
use std::process::Command;

fn approve(folder: &Path, more: &[&str]) {
    let approved = Command::new(env!("CARGO_BIN_EXE_gatewright"))
        .args(["approve", "strainer-clean", "--by", "Gwen Adeyi", "--role", "safety-officer"])
        .args(more)
        .arg("--from")
        .arg(folder)
        .output()
        .expect("the program runs");
    assert!(approved.status.success(), "{}", String::from_utf8_lossy(&approved.stderr));
}

/// Begins a walk; gives its path.
fn begun_at(device: &mut Device, more: &[(&str, &str)]) -> String {
    let csrf = device.get("/begin/strainer-clean").field("", "csrf");
    let fields = [&[("csrf", csrf.as_str()), ("serial", "OSK-0117")], more].concat();
    let reply = device.post("/begin/strainer-clean", &fields);
    assert_eq!(reply.status, 303, "{}", reply.body);
    reply.header("location").expect("the walk").to_owned()
}

/// Begins a walk; gives its record.
fn begun(device: &mut Device, more: &[(&str, &str)]) -> String {
    let path = begun_at(device, more);
    device.get(&path.replace("walks", "records")).body
}

/// A folder with one procedure that nobody has approved.
fn unapproved() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    for file in [SMALL[0], SMALL[1], "procedures/oskerry-22/people.yaml"] {
        let to = folder.path().join(Path::new(file).file_name().expect("a name"));
        std::fs::copy(root().join(file), to).expect("copied");
    }
    folder
}

#[test]
fn a_walk_counts_only_by_an_approved_procedure() {
    let folder = unapproved();
    let server = Server::start(&[folder.path().to_str().expect("a path")]);
    let mut device = Device::signed_in(&server, "Tomas Reeve");
    for wanted in [&[][..], &[("training", "")]] {
        assert!(begun(&mut device, wanted).contains("TRAINING ONLY"));
    }
    assert!(device.get("/").body.contains("never approved"));
    approve(folder.path(), &["--until", "2099-12-31"]);
    assert!(!begun(&mut device, &[]).contains("TRAINING ONLY"));
    for training in ["training", "rehearsal"] {
        assert!(begun(&mut device, &[(training, "yes")]).contains("TRAINING ONLY"), "{training}");
    }
    approve(folder.path(), &["--withdraw", "The strainer is another one now."]);
    assert!(begun(&mut device, &[]).contains("TRAINING ONLY"), "standings are worked out anew");
}

#[test]
fn who_walks_for_good_has_the_role_of_a_performer() {
    let folder = unapproved();
    approve(folder.path(), &["--until", "2099-12-31"]);
    let server = Server::start(&[folder.path().to_str().expect("a path")]);
    let mut officer = Device::signed_in(&server, "Gwen Adeyi");
    let csrf = officer.get("/begin/strainer-clean").field("", "csrf");
    let refused = officer.post("/begin/strainer-clean", &[("csrf", &csrf), ("serial", "OSK-0117")]);
    assert_eq!(refused.status, 422);
    assert!(refused.body.contains("Gwen Adeyi has not the role technician"), "{}", refused.body);
    assert!(officer.get("/records").body.contains("0 found"), "nothing is begun");
    assert!(begun(&mut officer, &[("training", "yes")]).contains("TRAINING ONLY"));

    // Nor does anybody else go on with a walk that counts.
    let mut device = Device::signed_in(&server, "Tomas Reeve");
    let csrf = device.get("/begin/strainer-clean").field("", "csrf");
    let reply = device.post("/begin/strainer-clean", &[("csrf", &csrf), ("serial", "OSK-0117")]);
    let walk = reply.header("location").expect("the walk").to_owned();
    let take_up = |device: &mut Device| {
        let page = device.get(&walk);
        let [csrf, position, key] = ["csrf", "position", "key"].map(|name| page.field("resume", name));
        let fields = [("csrf", &*csrf), ("say", "resume"), ("position", &position), ("key", &key)];
        device.post(&walk, &fields)
    };
    let refused = take_up(&mut officer);
    assert_eq!(refused.status, 422);
    assert!(refused.body.contains("Gwen Adeyi has not the role technician"), "{}", refused.body);
    // Somebody with the role takes it up.
    assert_eq!(take_up(&mut Device::signed_in(&server, "Anneke Voss")).status, 303);
}

#[test]
fn a_walk_under_way_is_told_that_its_approval_was_withdrawn() {
    let folder = unapproved();
    approve(folder.path(), &["--until", "2099-12-31"]);
    let server = Server::start(&[folder.path().to_str().expect("a path")]);
    let mut device = Device::signed_in(&server, "Tomas Reeve");
    let (counts, trains) = (begun_at(&mut device, &[]), begun_at(&mut device, &[("training", "yes")]));
    let told =
        |device: &mut Device, path: &str| device.get(path).body.contains("The strainer is another one now.");
    assert!(!told(&mut device, &counts));
    approve(folder.path(), &["--withdraw", "The strainer is another one now."]);
    assert!(told(&mut device, &counts), "{}", device.get(&counts).body);
    assert!(!told(&mut device, &trains), "training rests on no approval");
}
