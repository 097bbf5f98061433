//! Disks that are full, files that may not be written, that are damaged or cut off: nothing acknowledged is lost, and
//! the program says what is wrong.

use super::device::{Device, Reply};
use super::server::{SMALL, Server};
use super::sweep::said;
use super::trail::{Trail, Unheard, intact};
use super::walker::{Walker, willing};
use crate::support::run::{gatewright, root, stderr, stdout};
use oracle::Random;
use serde_json::Value;
use std::fs::{self, OpenOptions};
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// Walks so many answers; gives what was said.
fn walked(server: &Server, answers: usize) -> (Walker, Trail, Value) {
    let mut walker = Walker::signed_in(server, "Tomas Reeve");
    let (_, mut walk) = walker.begin("strainer-clean").expect("an answer");
    let mut trail = Trail::new(walk["id"].as_str().expect("a name"));
    for _ in 0..answers {
        let (below, body) = willing(&walk).expect("it has not ended");
        walk = said(&mut walker, &mut trail, below, body).expect("an answer");
    }
    (walker, trail, walk)
}

/// Our program on the records of a server.
fn record(journal: &Path, arguments: &[&str]) -> Output {
    let mut command = gatewright(root(), arguments);
    command.arg("--journal").arg(journal).output().expect("the program runs")
}

/// A program that says why it does not go on: no panic, no signal, and these words.
fn says(output: &Output, words: &[&str]) {
    let said = stderr(output) + &stdout(output);
    assert!(matches!(output.status.code(), Some(1 | 2)), "{:?}: {said}", output.status);
    assert!(!said.contains("panicked"), "{said}");
    for word in words {
        assert!(said.contains(word), "`{word}` is not said: {said}");
    }
}

/// Starts a server that cannot serve, and gives what it says.
fn refused(journal: &Path) -> Output {
    let mut command = gatewright(root(), &["serve", "--listen", "127.0.0.1:0"]);
    command.args(SMALL).arg("--journal").arg(journal).output().expect("the program runs")
}

/// A disk of so many kilobytes in memory; nothing where this user may not mount one.
struct SmallDisk(PathBuf);

impl SmallDisk {
    fn mounted(folder: &Path, kilobytes: u32) -> Option<Self> {
        let size = format!("size={kilobytes}k");
        let mount = Command::new("mount").args(["-t", "tmpfs", "-o", &size, "tmpfs"]).arg(folder).output();
        mount.is_ok_and(|output| output.status.success()).then(|| Self(folder.to_path_buf()))
    }

    fn remount(&self, how: &str) {
        let remounted = Command::new("mount").args(["-o", &format!("remount,{how}")]).arg(&self.0).output();
        let remounted = remounted.expect("mount runs");
        assert!(remounted.status.success(), "{}", stderr(&remounted));
    }
}

impl Drop for SmallDisk {
    fn drop(&mut self) {
        // Lazily: a server of a failed test may still hold a file there.
        let _ = Command::new("umount").arg("-l").arg(&self.0).output();
    }
}

/// Answers until the disk refuses; gives the refusal. Notes are long, so that it comes soon.
fn until_full(walker: &mut Walker, trail: &mut Trail, walk: &Value) -> (u16, Value) {
    let note = "The bowl is dirtier than usual. ".repeat(120);
    for number in 0..600 {
        let body = serde_json::json!({
            "say": "note", "value": note.trim(), "position": walk["position"], "key": format!("n-{number}")
        });
        let path = format!("/walks/{}/answers", trail.id);
        let (status, reply) = walker.call("POST", &path, &body).expect("an answer");
        trail.sent.push(super::trail::Sent { path, body, acknowledged: status == 200 });
        if status != 200 {
            return (status, reply);
        }
    }
    panic!("the disk takes everything");
}

/// What must hold on a full disk, whatever makes it full; then `room` is made, and the walk goes on.
fn full(server: &mut Server, log: &str, room: impl FnOnce(&mut Server) -> bool) {
    let (mut walker, mut trail, walk) = walked(server, 6);
    let (status, reply) = until_full(&mut walker, &mut trail, &walk);
    assert_eq!(status, 500, "{reply}");
    assert!(reply["opens"].as_str().is_some_and(|text| text.contains("recorded before is kept")), "{reply}");
    assert!(server.log().contains(log), "{}", server.log());
    // Reading goes on: the walk is shown, and the records.
    let (status, still) = walker.get(&format!("/walks/{}", trail.id)).expect("an answer");
    assert_eq!((status, &still["step"]), (200, &walk["step"]));
    let again = trail.sent.last().expect("sent").clone();
    assert_eq!(walker.call("POST", &again.path, &again.body).expect("an answer").0, 500, "it is still full");
    let restarted = room(server);
    let mut walker = if restarted { Walker::signed_in(server, "Tomas Reeve") } else { walker };
    let mut walk = walker.get(&format!("/walks/{}", trail.id)).expect("an answer").1;
    if !restarted {
        // The same person goes on, and the same answer is taken now.
        assert_eq!(walk["attends"], true);
        assert_eq!(walker.call("POST", &again.path, &again.body).expect("an answer").0, 200);
        trail.sent.last_mut().expect("sent").acknowledged = true;
    }
    while let Some((below, body)) = willing(&walk) {
        walk = said(&mut walker, &mut trail, below, body).expect("an answer");
    }
    assert_eq!(walk["standing"], "completed");
    let journal = intact(&server.journal(), std::slice::from_ref(&trail), 0);
    let lost = usize::from(restarted);
    assert_eq!(trail.check(&journal), Unheard { kept: 0, lost });
}

#[test]
#[expect(clippy::print_stdout, reason = "shown with the test's output")]
fn a_full_disk_is_told_and_nothing_taken_is_lost() {
    let (folder, place) = (tempfile::tempdir().expect("a folder"), tempfile::tempdir().expect("a folder"));
    let Some(disk) = SmallDisk::mounted(place.path(), 1024) else {
        println!("not shown: this user may not mount a disk; a limit of the file's size stands for it");
        return;
    };
    let mut server = Server::start_at(&SMALL, folder, place.path().join("records.sqlite"), &[]);
    full(&mut server, "no room to write to the journal", |_| {
        disk.remount("size=8m");
        false
    });
    // A command says the same of a disk without room.
    drop(server);
    fs::write(place.path().join("rest"), vec![0; 16 << 20]).expect_err("the disk is full now");
    let walk =
        gatewright(root(), &["walk", "strainer-clean", "--from", "procedures", "--person", "Tomas Reeve"])
            .args(["--serial", "OSK-0117", "--rehearsal", "--journal"])
            .arg(place.path().join("other.sqlite"))
            .output()
            .expect("the program runs");
    says(&walk, &["other.sqlite", "room"]);
}

#[test]
fn a_file_that_may_not_grow_is_told_and_nothing_taken_is_lost() {
    // 512-byte blocks; the signal that would end the program is ignored, so that it sees the refusal.
    let limit = ["sh", "-c", "trap '' XFSZ; ulimit -f 1024; exec \"$@\"", "sh"];
    let folder = tempfile::tempdir().expect("a folder");
    let records = folder.path().join("records.sqlite");
    let mut server = Server::start_at(&SMALL, folder, records, &limit);
    full(&mut server, "the system refused work on the journal", |server| {
        server.kill();
        server.under.clear();
        server.start_again();
        true
    });
}

/// Whoever is not the administrator is refused by the permissions of a file; the administrator by a disk mounted so.
#[test]
#[expect(clippy::print_stdout, reason = "shown with the test's output")]
fn records_that_may_not_be_written_are_told_and_can_be_read() {
    let (folder, place) = (tempfile::tempdir().expect("a folder"), tempfile::tempdir().expect("a folder"));
    let records = place.path().join("records.sqlite");
    let disk = SmallDisk::mounted(place.path(), 4096);
    let mut server = Server::start_at(&SMALL, folder, records.clone(), &[]);
    let (_, trail, _) = walked(&server, 6);
    server.kill();
    // Moved into the main file, as at an orderly end.
    assert!(record(&records, &["record", "verify"]).status.success());
    let permit = |writable: bool| match &disk {
        Some(disk) => disk.remount(if writable { "rw" } else { "ro" }),
        None => {
            for path in [records.as_path(), place.path()] {
                let mut permissions = fs::metadata(path).expect("it is there").permissions();
                permissions.set_readonly(!writable);
                fs::set_permissions(path, permissions).expect("it is ours");
            }
        }
    };
    permit(false);
    if OpenOptions::new().append(true).open(&records).is_ok() {
        println!("not shown: this administrator may not mount a disk, and may write everywhere");
        return;
    }
    says(&refused(&records), &["records"]);
    let resumed = record(&records, &["resume", &trail.id]);
    says(&resumed, &["records.sqlite", "only be read"]);
    let shown = record(&records, &["record", "list"]);
    assert!(stdout(&shown).contains(&trail.id), "{}{}", stdout(&shown), stderr(&shown));
    permit(true);
    server.start_again();
    let journal = intact(&server.journal(), std::slice::from_ref(&trail), 0);
    assert_eq!(trail.clone().check(&journal), Unheard::default());
}

/// Everything that asks for something in the browser and could stumble over damage.
fn looked(server: &Server, trail: &Trail) -> Vec<Reply> {
    let mut device = Device::signed_in(server, "Tomas Reeve");
    let paths = ["/", "/records", "/verify", "/records.json", "/records.csv"].map(str::to_owned);
    let own = ["/walks/", "/records/"].map(|path| format!("{path}{}", trail.id));
    paths.iter().chain(&own).map(|path| device.get(path)).collect()
}

#[test]
fn a_damaged_page_is_told_by_name_and_no_answer_comes_of_it() {
    let mut server = Server::start(&SMALL);
    let (_, trail, _) = walked(&server, 12);
    server.kill();
    let whole = Command::new("sqlite3").arg(server.journal()).arg("PRAGMA wal_checkpoint(TRUNCATE)").output();
    assert!(whole.expect("sqlite3 runs").status.success());
    let sound = fs::read(server.journal()).expect("the records");
    let mut numbers = Random::new(7);
    let (mut told, mut rounds) = (0, 0);
    for round in 0..40 {
        // Bytes anywhere but in the first page, which says what the file is.
        let mut bytes = sound.clone();
        let from = 4096 + numbers.below(bytes.len() - 4096 - 64);
        for byte in &mut bytes[from..from + 64] {
            *byte ^= 0x5a;
        }
        fs::write(server.journal(), &bytes).expect("written");
        let verified = record(&server.journal(), &["record", "verify"]);
        let said = stderr(&verified) + &stdout(&verified);
        assert!(!said.contains("panicked"), "{said}");
        // Bytes that nothing uses may change unseen; everything else is told.
        if !verified.status.success() {
            assert!(said.contains("records.sqlite") || said.contains("not intact: record"), "{said}");
            told += 1;
        } else {
            let journal = intact(&server.journal(), std::slice::from_ref(&trail), 0);
            assert_eq!(trail.clone().check(&journal), Unheard::default());
        }
        for arguments in [&["record", "list"][..], &["record", "show", &trail.id], &["record", "export"]] {
            let output = record(&server.journal(), arguments);
            assert!(!stderr(&output).contains("panicked"), "{arguments:?}: {}", stderr(&output));
            assert!(matches!(output.status.code(), Some(0..=2)), "{arguments:?}: {:?}", output.status);
        }
        if round % 8 == 0 {
            server.start_again();
            for reply in looked(&server, &trail) {
                assert!([200, 500].contains(&reply.status), "{}", reply.head);
                assert!(!reply.body.contains("sqlite"), "{}", reply.body);
            }
            server.kill();
            rounds += 1;
        }
        assert!(!server.log().contains("panicked"), "{}", server.log());
    }
    assert!(told >= 20 && rounds == 5, "only {told} of 40 were told");
    fs::write(server.journal(), &sound).expect("written");
    server.start_again();
    let journal = intact(&server.journal(), std::slice::from_ref(&trail), 0);
    assert_eq!(trail.clone().check(&journal), Unheard::default());
}

#[test]
fn one_damaged_walk_does_not_take_the_others_away() {
    let mut server = Server::start(&SMALL);
    let (_, first, _) = walked(&server, 6);
    let (_, second, _) = walked(&server, 6);
    server.kill();
    let sql = format!(
        "DROP TRIGGER record_unchanged;
         UPDATE record SET payload = substr(payload, 9) WHERE chain = '{}' AND seq = 3;",
        first.id
    );
    let damaged = Command::new("sqlite3").arg(server.journal()).arg(sql).output().expect("sqlite3 runs");
    assert!(damaged.status.success(), "{}", stderr(&damaged));
    server.start_again();
    let mut device = Device::signed_in(&server, "Tomas Reeve");
    for page in ["/", "/records"] {
        let reply = device.get(page);
        assert_eq!(reply.status, 200, "{page}");
        assert!(reply.body.contains(&format!("Records that are damaged: {}", first.id)), "{}", reply.body);
        assert!(reply.body.contains(&second.id), "{}", reply.body);
    }
    // It may have left its machine out of service: that is said where machines are told of, and stops nobody.
    for page in ["/machines", "/begin/strainer-clean"] {
        let reply = device.get(page);
        assert_eq!(reply.status, 200, "{page}");
        assert!(reply.body.contains(&format!("Records that are damaged: {}", first.id)), "{}", reply.body);
    }
    // Programs are given the others, and the damaged one by name.
    let listed = device.get("/api/walks?standing=completed");
    assert_eq!(listed.status, 200);
    let listed: Value = serde_json::from_str(&listed.body).expect("JSON");
    assert_eq!(listed.as_array().map(Vec::len), Some(1), "{listed}");
    assert_eq!(listed[0]["id"], *first.id, "{listed}");
    assert_eq!(listed[0]["standing"], "damaged", "{listed}");
    assert!(listed[0]["doubt"].as_str().is_some_and(|doubt| doubt.contains("may be out of service")));
    for path in ["/walks/W", "/records/W", "/records/W/export.json", "/api/walks/W", "/api/walks/W/records"] {
        let reply = device.get(&path.replace('W', &first.id));
        assert_eq!(reply.status, 500, "{path}");
        let told = ["do not hold together: record 3 of", &first.id, "stop work by the card"];
        assert!(told.iter().all(|told| reply.body.contains(told)), "{path}: {}", reply.body);
    }
    // A file of records names it; what has no place for that is not given.
    for (file, named) in [("/records.csv", "unreadable,"), ("/records.json", "\"event\": \"unreadable\"")] {
        let reply = device.get(file);
        assert_eq!(reply.status, 200, "{file}");
        for shown in [named, &first.id, &second.id] {
            assert!(reply.body.contains(shown), "{file}: {shown}: {}", reply.body);
        }
    }
    let reply = device.get("/api/walks");
    assert!(reply.body.contains(&first.id) && reply.body.contains(&second.id), "{}", reply.body);
    assert!(server.log().contains(&first.id) && server.log().contains("record 3"), "{}", server.log());
    assert_eq!(device.walk(&second.id, 3), 3, "the other walk goes on");
}

/// The log of the database cut off or spoilt at its end, as a power cut may leave what was not yet acknowledged; and the
/// database itself cut off.
#[test]
fn a_torn_record_is_left_out_whole_or_told() {
    let mut server = Server::start(&SMALL);
    let (_, mut trail, _) = walked(&server, 12);
    server.kill();
    let log = server.journal().with_file_name("records.sqlite-wal");
    let (main, whole) = (fs::read(server.journal()).expect("records"), fs::read(&log).expect("a log"));
    assert!(whole.len() > 4096, "everything is in the log yet");
    let mut numbers = Random::new(3);
    let acknowledged = trail.sent.len();
    for _ in 0..6 {
        // Frames of 24 + 4096 bytes after a head of 32 (SQLite's file format: read). The last record is torn.
        let cut = whole.len() - 1 - numbers.below(4_000);
        fs::write(server.journal(), &main).expect("written");
        fs::write(&log, &whole[..cut]).expect("written");
        server.start_again();
        let mut walker = Walker::signed_in(&server, "Tomas Reeve");
        let (status, walk) = walker.get(&format!("/walks/{}", trail.id)).expect("an answer");
        assert_eq!((status, &walk["attends"]), (200, &Value::Bool(false)));
        let (_, verified) = walker.get("/verification").expect("an answer");
        assert_eq!(
            (&verified["intact"], verified["records"].as_u64()),
            (&Value::Bool(true), Some(acknowledged as u64))
        );
        server.kill();
    }
    // Whole again, everything is there; a database cut in the middle is told.
    fs::write(server.journal(), &main).expect("written");
    fs::write(&log, &whole).expect("written");
    let journal = intact(&server.journal(), std::slice::from_ref(&trail), 0);
    assert_eq!(trail.check(&journal), Unheard::default());
    drop(journal);
    let merged =
        Command::new("sqlite3").arg(server.journal()).arg("PRAGMA wal_checkpoint(TRUNCATE)").output();
    assert!(merged.expect("sqlite3 runs").status.success());
    let main = fs::read(server.journal()).expect("records");
    for cut in [main.len() - 4096, main.len() / 2, 4096, 100] {
        fs::write(server.journal(), &main[..cut]).expect("written");
        says(&record(&server.journal(), &["record", "verify"]), &["records.sqlite"]);
        says(&record(&server.journal(), &["record", "list"]), &["records.sqlite"]);
    }
}
