//! The program starts while a file cannot be read: what is open is served, and nothing is begun of what cannot be read.

use super::device::{Device, until_said};
use super::stricter::{Site, Walked};
use super::walker::{Walker, willing};
use serde_json::{Value, json};
use std::process::{Command, Stdio};

/// A site at which somebody walks the strainer, ended, with one of its files written otherwise; and the walk.
fn ended(broken: impl Fn(&Site)) -> (Site, String) {
    let mut site = Site::served();
    let mut walker = Walker::signed_in(&site.server, "Tomas Reeve");
    let id = Walked::begun(&mut walker, "strainer-clean").until("gloves", "act").id;
    site.server.kill();
    broken(&site);
    site.server.start_again();
    (site, id)
}

/// The first page and the terminal both say it.
fn told(site: &Site, device: &mut Device, words: &[&str]) {
    let (page, log) = (device.get("/").body, site.server.log());
    for words in words {
        assert!(page.contains(words), "{words:?} is not on the first page: {page}");
        assert!(log.contains(words), "{words:?} is not in the terminal: {log}");
    }
}

fn to_its_end(walk: &mut Walked<'_>) -> Value {
    for _ in 0..300 {
        let now = walk.now();
        let Some((below, body)) = willing(&now) else { return now };
        let (status, reply) = walk.say(below, body.clone());
        assert_eq!(status, 200, "{body}: {reply}");
    }
    panic!("it does not end");
}

#[test]
fn a_walk_goes_on_by_its_own_procedure_and_none_is_begun_of_it() {
    let broken = |site: &Site| {
        site.write("strainer-clean", &site.text("strainer-clean").replace("\nsteps:", "\nsteps: [\n"));
    };
    let (site, id) = ended(broken);
    let mut walker = Walker::signed_in(&site.server, "Tomas Reeve");
    let line =
        site.text("strainer-clean").lines().position(|line| line.starts_with("  - id:")).expect("a line") + 1;
    let place = format!("strainer-clean.yaml` does not read and is not in force. Line {line}, column 3:");
    let mut device = Device::signed_in(&site.server, "Gwen Adeyi");
    told(&site, &mut device, &[&place]);
    assert_eq!(device.get("/begin/strainer-clean").status, 404);
    let (status, refused) = walker.begin("strainer-clean").expect("an answer");
    assert!(status == 422 || status == 404, "{status}: {refused}");
    let mut walk = Walked { walker: &mut walker, id, keys: 1000 };
    assert_eq!(to_its_end(&mut walk)["standing"], "completed");
    // What reads is begun.
    assert_eq!(walker.begin("tip-swap").expect("an answer").0, 201);
    // Mended, it is begun again, and nothing is told any more.
    site.write("strainer-clean", &site.text("strainer-clean").replace("steps: [\n", "steps:"));
    until_said(&mut device, "/begin/strainer-clean", "name=\"serial\"");
    assert!(!device.get("/").body.contains("does not read"));
}

/// What the equipment asks for now nobody knows: the walk is not gone on with. It is left by its own documents.
#[test]
fn where_the_equipment_cannot_be_read_a_walk_can_be_stopped_and_the_machine_left() {
    let broken = |site: &Site| {
        site.write("equipment", &site.text("equipment").replace("conditions:", "conditions: ["))
    };
    let (site, id) = ended(broken);
    let mut device = Device::signed_in(&site.server, "Gwen Adeyi");
    told(&site, &mut device, &["equipment.yaml` does not read and is not in force. Line "]);
    let mut walker = Walker::signed_in(&site.server, "Tomas Reeve");
    for procedure in ["strainer-clean", "tip-swap"] {
        assert_eq!(walker.begin(procedure).expect("an answer").0, 422, "{procedure}");
    }
    let mut walk = Walked { walker: &mut walker, id, keys: 1000 };
    let prompt = walk.now()["prompt"].clone();
    assert_eq!(prompt["is"], "unproved", "{prompt}");
    let why = "The equipment oskerry-22 is not among the documents that can be read now.";
    assert_eq!(prompt["why"], json!(why));
    let (status, stopped) = walk.say("stop", json!({ "reason": "Nobody knows what counts." }));
    assert_eq!(status, 200, "{stopped}");
    walk.left(stopped);
}

#[test]
fn files_that_cannot_be_opened_are_named_and_nothing_else_is_lost() {
    let gone = |site: &Site| {
        for (name, to) in [("strainer-clean.yaml", "nowhere"), ("register.yaml", ".")] {
            let path = site.folder.path().join(name);
            let _ = std::fs::remove_file(&path);
            std::os::unix::fs::symlink(to, path).expect("a link");
        }
    };
    let (site, id) = ended(gone);
    let mut device = Device::signed_in(&site.server, "Gwen Adeyi");
    told(&site, &mut device, &["strainer-clean.yaml` cannot be read", "register.yaml` cannot be read"]);
    let mut walker = Walker::signed_in(&site.server, "Tomas Reeve");
    let mut walk = Walked { walker: &mut walker, id, keys: 1000 };
    assert_eq!(to_its_end(&mut walk)["standing"], "completed");
    assert_eq!(walker.begin("tip-swap").expect("an answer").0, 201);
}

/// Where nobody is at a machine, whoever starts the program is told what is wrong, and it ends.
#[test]
fn without_an_open_walk_it_ends_where_a_file_cannot_be_opened() {
    let folder = tempfile::tempdir().expect("a folder");
    std::os::unix::fs::symlink("nowhere", folder.path().join("equipment.yaml")).expect("a link");
    let served = Command::new(env!("CARGO_BIN_EXE_gatewright"))
        .current_dir(folder.path())
        .args(["serve", "--listen", "127.0.0.1:0", ".", "--journal", "records.sqlite"])
        .stdin(Stdio::null())
        .output()
        .expect("it runs");
    assert_eq!(served.status.code(), Some(2));
    let told = String::from_utf8_lossy(&served.stderr).into_owned();
    assert!(told.contains("equipment.yaml` cannot be read"), "{told}");
}
