//! What hangs on the time of day, with a clock that the test sets: libfaketime stands between the server and the system.

use super::device::Device;
use super::server::{SMALL, Server};
use super::walker::{Walker, willing};
use serde_json::json;
use std::path::{Path, PathBuf};

/// A server whose clock is so many seconds ahead of the system's, or behind it, as a file says.
struct Clocked {
    server: Server,
    offset: PathBuf,
}

fn library() -> PathBuf {
    let folders = std::fs::read_dir("/usr/lib").expect("a folder").filter_map(Result::ok);
    let found =
        folders.map(|folder| folder.path().join("faketime/libfaketimeMT.so.1")).find(|path| path.exists());
    found.expect("libfaketime is not there; `tests/run` installs it")
}

impl Clocked {
    fn start() -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let offset = folder.path().join("offset");
        std::fs::write(&offset, "+0").expect("written");
        let set = |name: &str, value: &Path| format!("{name}={}", value.display());
        let under = [
            "env".to_owned(),
            set("LD_PRELOAD", &library()),
            set("FAKETIME_TIMESTAMP_FILE", &offset),
            "FAKETIME_NO_CACHE=1".to_owned(),
            "FAKETIME_DONT_FAKE_MONOTONIC=1".to_owned(),
        ];
        let under: Vec<&str> = under.iter().map(String::as_str).collect();
        let records = folder.path().join("records.sqlite");
        Self { server: Server::start_at(&SMALL, folder, records, &under), offset }
    }

    fn is(&self, seconds: i64) {
        // Put in place as a whole: the server reads it whenever it asks for the time.
        let new = self.offset.with_extension("new");
        std::fs::write(&new, format!("{seconds:+}")).expect("written");
        std::fs::rename(new, &self.offset).expect("in place");
    }
}

/// Ten minutes less or more than anything here takes.
const JUST_UNDER: i64 = 560;
const OVER: i64 = 601;

#[test]
fn a_sign_in_locks_after_ten_minutes_and_the_pin_opens_it() {
    let clocked = Clocked::start();
    let mut device = Device::signed_in(&clocked.server, "Tomas Reeve");
    let walk = device.begin("strainer-clean");
    device.walk(&walk, 8);
    let path = format!("/walks/{walk}");
    // Used every few minutes it stays open, for longer than ten minutes in all.
    for round in 1..=3 {
        clocked.is(round * JUST_UNDER);
        assert_eq!(device.get(&path).status, 200, "round {round}");
    }
    let mut now = 3 * JUST_UNDER + OVER;
    clocked.is(now);
    let reply = device.get(&path);
    assert_eq!(
        (reply.status, reply.header("location")),
        (303, Some(format!("/unlock?next={path}").as_str()))
    );
    let page = device.get(&format!("/unlock?next={path}"));
    assert!(page.body.contains("Locked") && !page.body.contains("OSK-0117"), "{}", page.body);
    let unlock = |device: &mut Device, pin: &str| {
        let csrf = device.get(&format!("/unlock?next={path}")).field("", "csrf");
        device.post("/unlock", &[("csrf", &csrf), ("pin", pin), ("next", &path)])
    };
    assert_eq!(unlock(&mut device, "000000").status, 422);
    assert_eq!(device.get(&path).status, 303, "it stays locked");
    assert_eq!(unlock(&mut device, "402917").header("location"), Some(path.as_str()));
    // Whoever was away that long takes the walk up again, and what lapsed is asked again.
    assert!(device.get(&path).body.contains("Go on with this walk"));
    assert_eq!(device.walk(&walk, 1), 1);
    assert!(device.get(&path).body.contains("To be confirmed again"));
    // A clock that goes backwards says nothing about how long it was: it locks.
    now -= 3_600;
    clocked.is(now);
    assert_eq!(device.get(&path).status, 303);
    assert_eq!(unlock(&mut device, "402917").status, 303);
    // After sixteen hours without use the sign-in is gone, whatever the PIN.
    clocked.is(now + 16 * 3_600);
    assert_eq!(device.get(&path).header("location"), Some(format!("/sign-in?next={path}").as_str()));
}

#[test]
fn waits_for_a_pin_end_and_grow_by_the_clock() {
    let clocked = Clocked::start();
    let mut device = Device::new(&clocked.server);
    for _ in 0..5 {
        assert_eq!(device.try_sign_in("Tomas Reeve", "000001").status, 422);
    }
    clocked.is(20);
    assert_eq!(device.try_sign_in("Tomas Reeve", "402917").status, 429);
    clocked.is(40);
    assert_eq!(device.try_sign_in("Tomas Reeve", "000001").status, 422);
    clocked.is(80);
    assert_eq!(device.try_sign_in("Tomas Reeve", "402917").status, 429, "the second wait is longer");
    clocked.is(110);
    assert_eq!(device.try_sign_in("Tomas Reeve", "402917").status, 303);
}

/// A wait that is no rehearsal: it is over when its time has passed, and begins anew if the clock went backwards.
#[test]
fn a_wait_never_trusts_a_clock_that_went_backwards() {
    let mut clocked = Clocked::start();
    let mut walker = Walker::signed_in(&clocked.server, "Tomas Reeve");
    let begin = json!({ "procedure": "strainer-clean", "serial": "OSK-0117" });
    let (_, mut walk) = walker.call("POST", "/walks", &begin).expect("an answer");
    let path = format!("/walks/{}", walk["id"].as_str().expect("a name"));
    let mut key = 0;
    let mut say = |walker: &mut Walker, walk: &serde_json::Value| {
        key += 1;
        let (below, mut body) = willing(walk).expect("it has not ended");
        body["key"] = json!(format!("k-{key}"));
        walker.call("POST", &format!("{path}/{below}"), &body).expect("an answer")
    };
    while walk["prompt"]["is"] != "wait" {
        let (status, next) = say(&mut walker, &walk);
        assert_eq!(status, 200, "{next}");
        walk = next;
    }
    let length = walk["prompt"]["timer"]["left"].as_i64().expect("milliseconds") / 1000;
    let (status, refused) = say(&mut walker, &walk);
    assert_eq!(status, 422, "no wait is jumped over in earnest: {refused}");
    // Backwards, and forward again by less than the wait: what seemed to have passed does not count.
    let mut now = -3_600;
    clocked.is(now);
    let mut walker = Walker::signed_in(&clocked.server, "Tomas Reeve");
    let (_, seen) = walker.get(&path).expect("an answer");
    let mut seen = seen;
    while seen["attends"] == json!(false) || seen["prompt"]["is"] != "wait" {
        if seen["prompt"]["is"] == "settle" {
            // It is not known how long it was: what settles with time is waited for again, in full.
            assert_eq!(say(&mut walker, &seen).0, 422);
            now += seen["prompt"]["timer"]["left"].as_i64().expect("milliseconds") / 1000 + 1;
            clocked.is(now);
        }
        let (status, next) = say(&mut walker, &seen);
        assert_eq!(status, 200, "{seen} {next}");
        seen = next;
    }
    if seen["prompt"]["timer"]["backwards"] == json!(true) {
        let (status, next) = say(&mut walker, &seen);
        assert_eq!(status, 200, "{seen} {next}");
        seen = next;
    }
    assert_eq!(seen["prompt"]["is"], "wait", "{seen}");
    assert!(seen["prompt"]["timer"]["left"].as_i64().expect("milliseconds") / 1000 >= length - 5, "{seen}");
    clocked.is(now + length / 2);
    assert_eq!(say(&mut walker, &seen).0, 422, "half of it has passed");
    // Killed and started again it is over when its time has passed; what settles is waited for again before that.
    clocked.server.kill();
    clocked.server.start_again();
    now += length + 5;
    clocked.is(now);
    let mut walker = Walker::signed_in(&clocked.server, "Tomas Reeve");
    let (_, mut seen) = walker.get(&path).expect("an answer");
    for _ in 0..20 {
        if seen["step"] != walk["step"] {
            break;
        }
        if ["settle", "wait"].iter().any(|kind| seen["prompt"]["is"] == *kind) {
            now += seen["prompt"]["timer"]["left"].as_i64().expect("milliseconds") / 1000 + 1;
            clocked.is(now);
        }
        let (status, next) = say(&mut walker, &seen);
        assert_eq!(status, 200, "{seen} {next}");
        seen = next;
    }
    assert_ne!(seen["step"], walk["step"], "the wait is over");
}
