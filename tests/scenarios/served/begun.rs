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
