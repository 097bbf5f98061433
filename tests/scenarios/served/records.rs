//! Records in the browser: found, verified, exported; a procedure that changed meanwhile.

use super::device::{Device, until_said};
use super::server::{SMALL, Server};
use crate::walks::root;
use std::process::Command;
use std::time::Duration;

fn gatewright(server: &Server, arguments: &[&str]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_gatewright"))
        .args(arguments)
        .arg("--journal")
        .arg(server.journal())
        .output()
        .expect("the program runs");
    String::from_utf8(output.stdout).expect("UTF-8")
}

#[test]
fn who_walked_a_revision_on_some_serials_is_one_query() {
    let server = Server::start(&SMALL);
    let mut device = Device::signed_in(&server, "Tomas Reeve");
    let walk = device.begin("strainer-clean");
    device.walk(&walk, 400);
    let query = |filter: &str, device: &mut Device| device.get(&format!("/records?{filter}")).body;
    for fits in [
        "serial=OSK-0118,OSK-0117&revision=1",
        "serial=osk-0117&procedure=strainer-clean&person=tomas+reeve&standing=completed",
        "from=2026-01-01",
        "",
    ] {
        assert!(query(fits, &mut device).contains("1 found"), "{fits}");
    }
    for misses in ["revision=3", "serial=OSK-0118", "person=Anneke+Voss", "standing=stopped", "to=2020-01-01"]
    {
        assert!(query(misses, &mut device).contains("0 found"), "{misses}");
    }
    // The same query in the terminal.
    let list = |more: &[&str]| gatewright(&server, &[&["record", "list"], more].concat());
    let fits = list(&["--serial", "OSK-0118,osk-0117", "--revision", "1", "--person", "tomas reeve"]);
    assert!(fits.contains(&walk) && fits.lines().count() == 1, "{fits}");
    assert!(list(&["--state", "completed", "--since", "2026-01-01"]).contains(&walk));
    for misses in
        [["--revision", "3"], ["--serial", "OSK-0118"], ["--state", "stopped"], ["--until", "2020-01-01"]]
    {
        assert_eq!(list(&misses), "no walk fits\n", "{misses:?}");
    }
    assert_eq!(list(&["--state", "finished"]), "", "a state that no walk has is refused");
    // The terminal exports the same.
    let json = gatewright(&server, &["record", "export", &walk]);
    assert_eq!(device.get(&format!("/records/{walk}/export.json")).body, json);
    assert_eq!(device.get("/records.json?revision=1").body, json);
    let none = gatewright(&server, &["record", "export", "--revision", "3"]);
    assert_eq!(device.get("/records.json?revision=3").body, none);
    assert_eq!(device.get("/records.csv").body, gatewright(&server, &["record", "export", "--form", "csv"]));
    // No PIN and no token is in any of it.
    assert!(!json.contains("402917") && !json.contains("argon2"));
}

#[test]
fn a_record_that_was_altered_is_told() {
    let mut server = Server::start(&SMALL);
    let mut device = Device::signed_in(&server, "Tomas Reeve");
    let walk = device.begin("strainer-clean");
    device.walk(&walk, 8);
    assert!(device.get("/verify").body.contains("Intact"));
    server.kill();
    let altered = Command::new("sqlite3")
        .arg(server.journal())
        .arg(
            "DROP TRIGGER record_unchanged;
             UPDATE record SET payload = replace(payload, 'OSK-0117', 'OSK-0118') WHERE seq = 0;",
        )
        .status()
        .expect("sqlite3 runs");
    assert!(altered.success());
    server.start_again();
    device.sign_in("Tomas Reeve");
    assert!(device.get("/verify").body.contains("do not hold together"));
    assert!(device.get(&format!("/records/{walk}")).body.contains("Do not hold together"));
    assert_eq!(device.get(&format!("/walks/{walk}")).status, 500, "nobody goes on with it");
}

#[test]
fn a_walk_under_way_is_told_that_its_procedure_was_revised_or_recalled() {
    let mut server = Server::start(&SMALL);
    let mut device = Device::signed_in(&server, "Tomas Reeve");
    let path = format!("/walks/{}", device.begin("strainer-clean"));
    assert!(!device.get(&path).body.contains("was revised"));
    let text = std::fs::read_to_string(root().join(SMALL[1])).expect("a procedure");
    let revised = server.journal().with_file_name("strainer-clean.yaml");
    std::fs::write(&revised, text.replace("revision: 1", "revision: 2")).expect("written");
    server.kill();
    server.start_with(&[SMALL[0], revised.to_str().expect("a path")]);
    device.sign_in("Tomas Reeve");
    assert!(device.get(&path).body.contains("revision 2 is in force now, this walk goes by revision 1"));
    server.kill();
    server.start_with(&["procedures/oskerry-22/equipment.yaml", "procedures/oskerry-22/tip-swap.yaml"]);
    device.sign_in("Tomas Reeve");
    assert!(device.get(&path).body.contains("was recalled"));
    // It goes on all the same, by the text it began with.
    assert_eq!(device.walk(path.trim_start_matches("/walks/"), 2), 2);
}

#[test]
fn documents_are_read_again_and_what_does_not_read_never_comes_into_force() {
    let folder = tempfile::tempdir().expect("a folder");
    for file in ["equipment", "strainer-clean", "tip-swap"] {
        let from = root().join(format!("procedures/oskerry-22/{file}.yaml"));
        std::fs::copy(from, folder.path().join(format!("{file}.yaml"))).expect("copied");
    }
    let file = |name: &str| folder.path().join(format!("{name}.yaml"));
    let text = |name: &str| std::fs::read_to_string(file(name)).expect("a document");
    let write = |name: &str, text: &str| std::fs::write(file(name), text).expect("written");
    let server = Server::start(&[folder.path().to_str().expect("a path")]);
    let mut device = Device::signed_in(&server, "Tomas Reeve");
    let path = format!("/walks/{}", device.begin("strainer-clean"));
    let (strainer, tip) = (text("strainer-clean"), text("tip-swap"));
    // Revised, with a new machine register beside it: both without a restart.
    write("strainer-clean", &strainer.replace("revision: 1", "revision: 2"));
    std::fs::write(
        folder.path().join("register.yaml"),
        "site: { zone: Etc/UTC }\nregister: { oskerry-22: { serials: { OSK-0999: { since: 2026-01-01 } } } }",
    )
    .expect("written");
    until_said(&mut device, &path, "revision 2 is in force now, this walk goes by revision 1");
    assert!(until_said(&mut device, "/begin/tip-swap", "OSK-0999").contains("Change the spray tip"));
    // One file cannot be read any more, the other is good: the good one comes into force, the broken one stays as it was.
    write("tip-swap", &tip.replace("steps:", "stepz: ["));
    write("strainer-clean", &strainer.replace("revision: 1", "revision: 3"));
    until_said(&mut device, &path, "revision 3 is in force now");
    let home = until_said(
        &mut device,
        "/",
        "tip-swap.yaml` says now does not read: it stays in force as it last did.",
    );
    assert!(home.contains("Change the spray tip") && !home.contains("cannot be begun"), "{home}");
    assert_eq!(device.get("/begin/tip-swap").status, 200);
    // Mended, nothing is told any more; recalled, it is gone.
    write("tip-swap", &tip);
    for _ in 0..600 {
        if !device.get("/").body.contains("does not read") {
            break;
        }
        std::thread::sleep(Duration::from_millis(100));
    }
    std::fs::remove_file(file("strainer-clean")).expect("removed");
    until_said(&mut device, &path, "was recalled");
    assert!(!device.get("/").body.contains("does not read"));
}

#[test]
fn what_is_put_in_the_place_of_a_file_or_of_the_folder_comes_into_force() {
    let place = tempfile::tempdir().expect("a folder");
    let at = |name: &str| place.path().join(name);
    let strainer = std::fs::read_to_string(root().join(SMALL[1])).expect("a document");
    let write = |to: &str, revision: u32| {
        std::fs::write(at(to), strainer.replace("revision: 1", &format!("revision: {revision}")))
            .expect("written");
    };
    let rename = |from: &str, to: &str| std::fs::rename(at(from), at(to)).expect("renamed");
    for folder in ["site", "next"] {
        std::fs::create_dir(at(folder)).expect("a folder");
        std::fs::copy(root().join(SMALL[0]), at(folder).join("equipment.yaml")).expect("copied");
    }
    write("site/strainer.yaml", 1);
    let server = Server::start(&[at("site").to_str().expect("a path")]);
    let mut device = Device::signed_in(&server, "Tomas Reeve");
    let path = format!("/walks/{}", device.begin("strainer-clean"));
    write("site/strainer.yaml.new", 2);
    rename("site/strainer.yaml.new", "site/strainer.yaml");
    until_said(&mut device, &path, "revision 2 is in force now");
    write("next/strainer.yaml", 3);
    rename("site", "last");
    rename("next", "site");
    until_said(&mut device, &path, "revision 3 is in force now");
    // The folder that stands there now is the one that is watched.
    write("site/strainer.yaml.new", 4);
    rename("site/strainer.yaml.new", "site/strainer.yaml");
    until_said(&mut device, &path, "revision 4 is in force now");
    // A register may stand one folder up.
    std::fs::write(
        at("register.yaml"),
        "site: { zone: Etc/UTC }\nregister: { oskerry-22: { serials: { OSK-0998: { since: 2026-01-01 } } } }",
    )
    .expect("written");
    until_said(&mut device, "/begin/strainer-clean", "OSK-0998");
}

#[test]
fn people_are_told_from_each_other_and_can_be_changed() {
    let server = Server::start(&SMALL);
    let list = gatewright(&server, &["people", "list"]);
    assert!(list.contains("Ilse Marrow: second-person until 2025-01-01"), "{list}");
    let mut device = Device::signed_in(&server, "Ilse Marrow");
    gatewright(&server, &["people", "remove", "ilse marrow"]);
    assert_eq!(device.get("/records").status, 303, "whoever was removed is signed out");
    gatewright(&server, &["people", "revoke", "Anneke Voss", "second-person"]);
    gatewright(&server, &["people", "grant", "Anneke Voss", "technician:2099-12-31"]);
    let list = gatewright(&server, &["people", "list"]);
    assert!(list.contains("Anneke Voss: technician until 2099-12-31"), "{list}");
    assert!(!list.contains("Ilse") && !list.contains("argon2"), "{list}");
}

#[test]
fn a_pause_is_on_record_and_ends_with_whoever_goes_on() {
    let server = Server::start(&SMALL);
    let mut device = Device::signed_in(&server, "Tomas Reeve");
    let walk = device.begin("strainer-clean");
    device.walk(&walk, 6);
    let path = format!("/walks/{walk}");
    let page = device.get(&path);
    let fields = [
        ("csrf", &page.field("pause", "csrf")),
        ("say", &"pause".to_owned()),
        ("position", &page.field("pause", "position")),
    ];
    let mut fields: Vec<(&str, &str)> = fields.iter().map(|(name, value)| (*name, value.as_str())).collect();
    fields.push(("key", "pause-1"));
    assert_eq!(device.post(&path, &fields).status, 303);
    assert!(device.get(&path).body.contains("The walk is paused"));
    device.walk(&walk, 400);
    let record = device.get(&format!("/records/{walk}")).body;
    assert!(record.contains(">paused<") && record.contains("resumed by Tomas Reeve<"), "{record}");
    assert!(record.contains("completed"));
}

#[test]
fn machines_show_what_is_due_and_what_is_out_of_service() {
    let server = Server::start(&SMALL);
    let mut device = Device::signed_in(&server, "Tomas Reeve");
    // The register stands beside the procedures, and names procedures that are not served here.
    assert!(device.get("/machines").body.contains("`first-flush` of `oskerry-22` is no procedure"));
    assert_eq!(device.get("/machines.ics").status, 400);
    drop(server);
    let server = Server::start(&["procedures"]);
    device = Device::signed_in(&server, "Tomas Reeve");
    let body = |path: &str, device: &mut Device| device.get(path).body;
    let all = body("/machines", &mut device);
    assert!(all.contains("The rear castor is cracked.") && all.contains(">OSK-0118<"), "{all}");
    assert!(!body("/machines?state=due", &mut device).contains("castor"));
    assert!(!body("/machines?state=out", &mut device).contains(">OSK-0118<"));
    assert!(!body("/machines?serial=osk-0118", &mut device).contains(">OSK-0117<"));
    assert!(body("/begin/tip-swap?serial=OSK-0118", &mut device).contains("value=\"OSK-0118\""));
    let calendar = device.get("/machines.ics?serial=OSK-0118");
    assert_eq!(calendar.header("content-type"), Some("text/calendar; charset=utf-8"));
    assert!(calendar.body.starts_with("BEGIN:VCALENDAR\r\n") && calendar.body.contains("OSK-0118"));
    assert!(!calendar.body.contains("OSK-0117"));
    assert_eq!(device.get("/machines.ics?serial=nothing").status, 404);
}
