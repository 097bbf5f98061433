//! Beginning a walk: what is said of its machine, and that a slip of whoever asks begins no other walk than was meant.

use super::device::Device;
use super::server::{SMALL, Server};
use super::walker::Walker;
use crate::walks::root;
use serde_json::{Value, json};

const REGISTER: &str = "site: { zone: Etc/UTC }\nregister:\n  oskerry-22:\n    due: {}\n    serials:\n      \
    OSK-0117: { since: 2026-01-02 }\n      OSK-0118:\n        since: 2026-01-02\n        \
    out_of_service: { since: 2026-11-02, by: Gwen Adeyi, reason: the bowl is cracked }\n";

/// One procedure, with a register of two machines of which one is out of service.
fn served() -> (tempfile::TempDir, Server) {
    let folder = tempfile::tempdir().expect("a folder");
    for file in SMALL {
        let name = std::path::Path::new(file).file_name().expect("a name");
        std::fs::copy(root().join(file), folder.path().join(name)).expect("copied");
    }
    std::fs::write(folder.path().join("register.yaml"), REGISTER).expect("written");
    let server = Server::start(&[folder.path().to_str().expect("a path")]);
    (folder, server)
}

#[test]
fn another_program_is_told_what_the_page_says_of_the_machine() {
    let (_folder, server) = served();
    let mut walker = Walker::signed_in(&server, "Tomas Reeve");
    let mut told = |serial: &str| {
        let body = json!({ "procedure": "strainer-clean", "serial": serial, "training": true });
        let (status, walk) = walker.call("POST", "/walks", &body).expect("an answer");
        assert_eq!(status, 201, "{walk}");
        let path = format!("/walks/{}", walk["id"].as_str().expect("a name"));
        let (_, later) = walker.get(&path).expect("an answer");
        assert_eq!(later["machine"], walk["machine"], "whoever asks for it later is told the same");
        walk["machine"].clone()
    };
    assert_eq!(told("OSK-0117"), json!([]));
    let out = "Out of service: OSK-0118 since 2026-11-02: the bowl is cracked (Gwen Adeyi)";
    assert_eq!(told("osk-0118"), json!([out]));
    assert_eq!(told("OSK-0171"), json!(["OSK-0171 is not in the register: it may have been mistyped."]));
}

#[test]
fn a_slip_begins_no_walk() {
    let (_folder, server) = served();
    let mut walker = Walker::signed_in(&server, "Tomas Reeve");
    let mut refused = |body: Value, expected: u16| {
        let (status, reply) = walker.call("POST", "/walks", &body).expect("an answer");
        assert_eq!(status, expected, "{body}: {reply}");
        reply["reason"].as_str().unwrap_or_default().to_owned()
    };
    let with = |more: Value| {
        let mut body = json!({ "procedure": "strainer-clean", "serial": "OSK-0117" });
        body.as_object_mut().expect("an object").extend(more.as_object().expect("an object").clone());
        body
    };
    assert_eq!(refused(with(json!({ "trainig": true })), 400), "`trainig` is not known here.");
    assert!(refused(with(json!({ "serial": "\u{422}-1" })), 422).starts_with("A serial number has 1 to 60"));
    refused(with(json!({ "key": "k-1", "training": true })), 201);
    refused(with(json!({ "key": "k-1", "training": true })), 201);
    for other in [json!({ "serial": "OSK-0118", "training": true }), json!({ "rehearsal": true })] {
        let mut body = with(other);
        body["key"] = json!("k-1");
        let why = refused(body, 409);
        assert!(why.starts_with("The same key began strainer-clean-"), "{why}");
        assert!(why.ends_with(" on OSK-0117 as training."), "{why}");
    }
    let (_, walks) = walker.get("/walks").expect("an answer");
    assert_eq!(walks.as_array().map(Vec::len), Some(1), "{walks}");
    for query in ["seriel=OSK-0117", "standing=nonsense", "revision=abc", "serial=a&serial=b", "from=soon"] {
        assert_eq!(walker.get(&format!("/walks?{query}")).expect("an answer").0, 400, "{query}");
    }
}

#[test]
fn a_form_with_a_slip_begins_no_walk() {
    let (_folder, server) = served();
    let mut device = Device::signed_in(&server, "Tomas Reeve");
    let csrf = device.get("/begin/strainer-clean").field("", "csrf");
    let form = "Content-Type: application/x-www-form-urlencoded\r\n";
    for (slip, expected) in [
        ("serial=OSK-0117&training=on", 400),
        ("serial=OSK-0117&serial=OSK-0118", 400),
        ("serial=OSK-0117&trainig=yes", 400),
        ("serial=%25", 422),
        ("serial=%", 400),
        ("serial=%ff%fe", 400),
    ] {
        let bytes = device.request("POST", "/begin/strainer-clean", form, &format!("csrf={csrf}&{slip}"));
        assert_eq!(device.send(&bytes).status, expected, "{slip}");
    }
    let begun = |device: &mut Device, serial: &str| {
        device.post("/begin/strainer-clean", &[("csrf", &csrf), ("serial", serial), ("key", "k-1")])
    };
    assert_eq!(begun(&mut device, "OSK-0117").status, 303);
    assert_eq!(begun(&mut device, "OSK-0117").status, 303);
    let other = begun(&mut device, "OSK-0118");
    assert_eq!(other.status, 422);
    assert!(other.body.contains("The same key began strainer-clean-"), "{}", other.body);
    assert!(device.get("/records").body.contains("1 found"));
}

#[test]
fn every_page_of_a_walk_under_way_says_what_another_program_is_told_of_the_machine() {
    let (_folder, server) = served();
    let mut walker = Walker::signed_in(&server, "Tomas Reeve");
    let mut device = Device::signed_in(&server, "Tomas Reeve");
    let mut other = Device::signed_in(&server, "Anneke Voss");
    let sentence = "class=\"notice\"><p>";
    for (serial, notices) in [("OSK-0117", 0), ("OSK-0118", 1), ("OSK-0171", 1)] {
        let body = json!({ "procedure": "strainer-clean", "serial": serial, "training": true });
        let (_, walk) = walker.call("POST", "/walks", &body).expect("an answer");
        let told = walk["machine"].as_array().expect("sentences");
        assert_eq!(told.len(), notices, "{walk}");
        let says = |body: &str, where_it_is: &str, told: &[Value]| {
            assert_eq!(body.contains(sentence), !told.is_empty(), "{where_it_is}: {body}");
            for one in told {
                assert!(body.contains(one.as_str().expect("a sentence")), "{where_it_is}: {body}");
            }
        };
        let id = walk["id"].as_str().expect("a name");
        let page = format!("/walks/{id}");
        says(&device.get(&page).body, "before the first step", told);
        // Only an act can be done otherwise.
        while !device.get(&page).body.contains("value=\"done\"") {
            assert_eq!(device.walk(id, 1), 1);
        }
        let step = device.get(&page);
        assert!(step.body.contains("id=\"now\">Step "), "{}", step.body);
        says(&step.body, "at a step", told);
        says(&other.get(&page).body, "to somebody else", told);
        let (csrf, key) = (step.field("", "csrf"), step.field("", "key"));
        let stale = [("csrf", csrf.as_str()), ("key", "k-2"), ("position", "0"), ("say", "done")];
        let reply = device.post(&page, &stale);
        assert_eq!(reply.status, 409, "{}", reply.body);
        says(&reply.body, "after a refusal", told);
        let deviation = device.get(&format!("{page}/deviate"));
        assert!(deviation.body.contains("Do it otherwise than written"), "{}", deviation.body);
        says(&deviation.body, "at a deviation", told);
        let stop = [("csrf", csrf.as_str()), ("key", key.as_str()), ("say", "stop"), ("reason", "A leak.")];
        assert_eq!(device.post(&format!("{page}/stop"), &stop).status, 303);
        says(&device.get(&page).body, "after it was stopped", &[]);
    }
}
