//! Open walks of record format 1: told when the program starts, shown, never gone on with, left by the plan for the whole
//! machine.

use super::device::Device;
use super::page::Page;
use super::server::{SMALL, Server};
use crate::walks::root;

fn served() -> Server {
    let folder = tempfile::tempdir().expect("a folder");
    let records = folder.path().join("records.sqlite");
    // A copy, as nothing may be written beside them.
    std::fs::copy(root().join("tests/scenarios/walks/earlier/records.sqlite"), &records).expect("a copy");
    Server::start_at(&SMALL, folder, records, &[])
}

#[test]
fn an_open_walk_of_format_1_is_told_at_the_start_and_only_left() {
    let server = served();
    let log = server.log();
    assert!(log.contains("the walk open-earlier was begun by an earlier version"), "{log}");
    for ended in ["completed-earlier", "stopped-earlier"] {
        assert!(!log.contains(ended), "{log}");
    }
    let mut device = Device::signed_in(&server, "Tomas Reeve");
    assert!(device.get("/").body.contains("href=\"/walks/open-earlier\""), "it is under way");
    let page = device.get("/walks/open-earlier");
    assert!(page.body.contains("begun by an earlier version of the program"), "{}", page.body);
    // Where it stands nobody knows, so that no step is laid before anybody, and nothing is asked.
    for absent in
        ["id=\"now\">Step ", "class=\"act\"", "<form method=\"post\" action=\"/walks/", "Go on", "Take over"]
    {
        assert!(!page.body.contains(absent), "{absent}: {}", page.body);
    }
    assert!(page.body.contains("href=\"/walks/open-earlier/stop\""), "{}", page.body);
    let csrf = page.field("", "csrf");
    for (say, value) in [("look", "yes"), ("done", ""), ("timer", "over")] {
        let fields = [("csrf", &*csrf), ("position", "8"), ("key", say), ("say", say), ("value", value)];
        let reply = device.post("/walks/open-earlier", &fields);
        assert!([409, 422].contains(&reply.status), "{say}: {} {}", reply.status, reply.body);
    }
    let mut page = Page::of(device, "open-earlier");
    page.stop();
    assert!(page.says("The walk is stopped: It is not so."), "{}", page.body);
    // Nothing is known of the machine: the way out is the one for whatever it is like, and ends with looks.
    assert!(page.says("Before you leave the machine") && page.says("Turn the switch to 0."), "{}", page.body);
    while page.says("value=\"left\"") {
        page.say("left", "done");
    }
    assert!(page.says("What is so of the "), "{}", page.body);
    let mut device = page.device;
    for walk in ["open-earlier", "completed-earlier", "stopped-earlier"] {
        let record = device.get(&format!("/records/{walk}"));
        assert_eq!(record.status, 200);
        assert!(record.body.contains("begun by Ilse"), "{}", record.body);
    }
    assert!(device.get("/verify").body.contains("Intact"));
}

#[test]
fn with_no_such_walk_left_nothing_is_told_of_any() {
    let mut server = served();
    Page::of(Device::signed_in(&server, "Tomas Reeve"), "open-earlier").stop();
    let told = server.log().matches("earlier version").count();
    assert_eq!(told, 1);
    server.kill();
    server.start_again();
    assert_eq!(server.log().matches("earlier version").count(), told, "{}", server.log());
}
