//! While it is not known whether a change leaves things proved, and while a file beside the documents does not read: nothing
//! is begun that counts on them, and everything else goes on.

use super::device::{Device, until_said};
use super::server::Server;
use super::stricter::{Site, Walked};
use super::walker::Walker;
use crate::walks::root;
use serde_json::json;

const REGISTER: &str = "site: { zone: Etc/UTC }\nregister:\n  oskerry-22:\n    due: {}\n    serials:\n      \
    OSK-0118:\n        since: 2026-01-02\n        \
    out_of_service: { since: 2026-11-02, by: Gwen Adeyi, reason: the bowl is cracked }\n";

#[test]
fn a_half_typed_register_stays_in_force_as_it_last_did() {
    let site = Site::served();
    let at = site.folder.path().join("register.yaml");
    std::fs::write(&at, REGISTER).expect("written");
    let mut device = Device::signed_in(&site.server, "Gwen Adeyi");
    let out = "OSK-0118 since 2026-11-02: the bowl is cracked (Gwen Adeyi)";
    until_said(&mut device, "/begin/strainer-clean", out);
    std::fs::write(&at, format!("{REGISTER}  x: [")).expect("written");
    let told = "register stays in force as it last was";
    until_said(&mut device, "/", told);
    let page = device.get("/begin/strainer-clean").body;
    assert!(page.contains(out) && page.contains(told), "{page}");
    let mut walker = Walker::signed_in(&site.server, "Tomas Reeve");
    let body = json!({ "procedure": "strainer-clean", "serial": "OSK-0118", "training": true });
    let (status, walk) = walker.call("POST", "/walks", &body).expect("an answer");
    let machine = walk["machine"].to_string();
    assert!(status == 201 && machine.contains(told) && machine.contains(out), "{status}: {walk}");
}

#[test]
fn half_typed_people_stay_in_force_as_they_last_did() {
    let site = Site::served();
    let at = site.folder.path().join("people.yaml");
    let people = std::fs::read_to_string(root().join("procedures/oskerry-22/people.yaml")).expect("people");
    std::fs::write(&at, &people).expect("written");
    let mut device = Device::signed_in(&site.server, "Gwen Adeyi");
    assert_eq!(device.get("/").status, 200);
    std::fs::write(&at, "people: [").expect("written");
    let home = device.get("/");
    assert_eq!(home.status, 200);
    assert!(
        home.body.contains("people.yaml") && home.body.contains("stays in force as it last did"),
        "{}",
        home.body
    );
    for page in ["/library", "/begin/strainer-clean", "/review/strainer-clean", "/machines"] {
        assert_eq!(device.get(page).status, 200, "{page}");
    }
}

#[test]
fn people_that_never_read_let_nothing_count() {
    let folder = tempfile::tempdir().expect("a folder");
    for file in ["equipment", "strainer-clean"] {
        let from = root().join(format!("procedures/oskerry-22/{file}.yaml"));
        std::fs::copy(from, folder.path().join(format!("{file}.yaml"))).expect("copied");
    }
    std::fs::write(folder.path().join("people.yaml"), "people: [").expect("written");
    let server = Server::start(&[folder.path().to_str().expect("a path")]);
    let mut device = Device::signed_in(&server, "Gwen Adeyi");
    let home = device.get("/");
    assert_eq!(home.status, 200);
    assert!(home.body.contains("nothing counts by it"), "{}", home.body);
    let mut walker = Walker::signed_in(&server, "Tomas Reeve");
    // It is training and nothing else; and it can be stopped.
    let mut walk = Walked::begun(&mut walker, "strainer-clean");
    assert_eq!(walk.now()["training"], json!(true));
    let (status, stopped) = walk.say("stop", json!({ "reason": "Enough." }));
    assert_eq!((status, &stopped["standing"]), (200, &json!("stopped")), "{stopped}");
}

/// How many slow procedures there are: the last is looked at, and all of them take longer than anybody waits on any machine.
const SLOW: usize = 16;

/// A rig, and procedures that can be gone through in more orders than are looked through in some seconds.
fn slow(folder: &std::path::Path) {
    let rig = "equipment: rig\ntitle: A rig\nrevision: 1\nroles: { technician: Works on it. }\nconditions:\n  \
               valve: { values: [closed, throttled, open], ask: { closed: \"Is the lever across?\", throttled: \"Is the lever at \
               the notch?\", open: \"Is the lever in line?\" }, normal: closed }\n  \
               supply: { values: [isolated, live], ask: \"Is the switch at 0?\", normal: isolated }\n  \
               area: { values: [clear, busy], ask: \"Is nobody near?\", lapses: 600 s }\nactions:\n  \
               shut-valve: { do: Turn the lever across., leaves: { valve: closed }, restores: true }\n\
               safe_state: { valve: closed, supply: isolated }\nhazards:\n  \
               harm: { worst: minor, certainty: could, hazard: Harm., consequence: It hurts., avoid: Keep off. }\n";
    let head = "procedure: levers\ntitle: Levers\nequipment: rig\nrevision: 1\neffective: 2026-11-02\nauthor: Ilse Marrow\n\
                purpose: Move the levers.\nscope: The levers.\nperformers: { technician: 1 }\ntime: 5 min\n\
                level_of_use: continuous\ntools: none\nsupplies: none\nspares: none\nwear: none\n\
                emergency: Call for help.\nrequires: { supply: isolated }\nsteps:\n  - id: b\n    any_order:\n";
    let values = ["throttled", "closed", "open"];
    let item = |at: usize| {
        let value = values[at % 3];
        format!("      - {{ id: i{at}, do: Turn lever {at}., leaves: {{ valve: {value} }}, expect: x. }}\n")
    };
    let items: String = (1..=20).map(item).collect();
    let text = format!("{head}{items}  - {{ id: fix, action: shut-valve, expect: Across. }}\n");
    std::fs::write(folder.join("rig.yaml"), rig).expect("written");
    for number in 1..=SLOW {
        let name = format!("z-levers-{number:02}");
        let text = text.replacen("procedure: levers", &format!("procedure: {name}"), 1);
        std::fs::write(folder.join(format!("{name}.yaml")), text).expect("written");
    }
}

/// One proof takes longer than anybody waits: people sign in, what is judged by then is begun, and what is not is not.
#[test]
fn one_slow_proof_keeps_nothing_else_waiting() {
    let site = Site::served();
    slow(site.folder.path());
    let server = Server::start(&[site.folder.path().to_str().expect("a path")]);
    let mut device = Device::signed_in(&server, "Gwen Adeyi");
    let home = device.get("/").body;
    assert!(home.contains("Whether it is proved is being worked out"), "{home}");
    let mut walker = Walker::signed_in(&server, "Tomas Reeve");
    let last = format!("z-levers-{SLOW:02}");
    let (status, refused) = walker.begin(&last).expect("an answer");
    let why = refused["reason"].to_string();
    assert!(status == 422 && why.contains("still being worked out"), "{status}: {refused}");
    let page = device.get(&format!("/begin/{last}")).body;
    assert!(page.contains("It cannot be begun yet") && !page.contains("name=\"serial\""), "{page}");
    let mut walk = Walked::begun(&mut walker, "strainer-clean");
    assert_ne!(walk.now()["prompt"]["is"], "unproved");
}
