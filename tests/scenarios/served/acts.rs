//! An act of the equipment is shown with its warnings, what to wear, the people it asks for and the figures of this machine: where
//! it may put right what keeps a gate shut, and on the way to leave the machine.

use super::device::Device;
use super::page::Page;
use super::stricter::Site;
use super::walker::{Walker, willing};
use crate::support::edit::swap;
use serde_json::{Value, json};

/// The same, and somebody else says that it was done well.
fn verified(equipment: &str) -> String {
    let people = "    by: technician\n    people: 2\n";
    swap(&demanding(equipment), people, &format!("{people}    verified_by: second-person\n"))
}

/// The equipment with a charger plug that takes two people; it may be left only once the high voltage is gone, for which nobody
/// can look.
pub(crate) fn demanding(equipment: &str) -> String {
    let work =
        "  pull-plug:\n    wear: [eye-protection]\n    hazard: ignition\n    by: technician\n    people: 2\n";
    let figure = "  plug-torque: { method: guard-band, limit: { $tip: { fine: 1.2 N·m, medium: 2.2 N·m } }, side: at-most, \
                  uncertainty: 0.2 N·m }\n";
    let act = "    do: Turn the charger plug out with at most {{ plug_torque }}.\n    work: pull-plug\n    tools: [steel-bucket]\n";
    let plain = "    do: Pull the charger plug out of the charging socket.\n";
    let text = swap(equipment, "\nwork:\n", &format!("\nwork:\n{work}"));
    let text = swap(&text, "\namounts:\n", &format!("\namounts:\n{figure}"));
    swap(&swap(&text, plain, act), "\nsafe_state:\n", "\nsafe_state:\n  hv: dissipated\n")
}

/// What is said of the act before it, and the act for a machine with a fine tip.
pub(crate) const SHOWN: [&str; 7] = [
    "WARNING",
    "Sparks from charged spray.",
    "Flammable vapour can ignite",
    "done by the technician",
    "at least 2 people together",
    "Steel bucket of 10 L",
    "Turn the charger plug out with at most 1 N·m.",
];

/// What is said, too, where somebody else verifies it.
const VERIFIED: &str = "verified by the second person";

/// How often the act stands in a text, with all of what is said before it in front of it.
fn shown(body: &str, is_verified: bool) -> usize {
    let act = SHOWN[SHOWN.len() - 1];
    let parts: Vec<&str> = body.split(act).collect();
    for before in &parts[..parts.len() - 1] {
        for words in &SHOWN[..SHOWN.len() - 1] {
            assert!(before.contains(words), "{words:?} is not before the act: {body}");
        }
        assert_eq!(before.contains(VERIFIED), is_verified, "{body}");
    }
    parts.len() - 1
}

fn told(act: &Value, is_verified: bool) {
    assert_eq!(act["warnings"][0]["word"], json!("WARNING"), "{act}");
    assert_eq!(act["warnings"][0]["hazard"], json!("Sparks from charged spray."), "{act}");
    assert_eq!(act["work"], json!("pull plug"), "{act}");
    let people = ["done by the technician", "at least 2 people together", VERIFIED];
    assert_eq!(act["people"], json!(people[..if is_verified { 3 } else { 2 }]), "{act}");
    assert_eq!(act["words"], json!("Turn the charger plug out with at most 1 N·m."), "{act}");
    assert_eq!(act["wear"].as_array().map(Vec::len), Some(1), "{act}");
    assert_eq!(act["takes"].as_array().map(Vec::len), Some(1), "{act}");
}

/// A walk whose charger plug was found in.
pub(super) fn shut(mut device: Device, walk: &str) -> Page {
    // Which hose and which tip this machine has.
    assert_eq!(device.walk(walk, 2), 2);
    let mut page = Page::of(device, walk);
    page.looks(&["yes", "no", "yes", "yes", "yes"]);
    page
}

/// The same on a page and for another program.
fn shut_on(site: &Site) -> (Page, Walker, String) {
    let mut device = Device::signed_in(&site.server, "Tomas Reeve");
    let walk = device.begin("strainer-clean");
    let page = shut(device, &walk);
    (page, Walker::signed_in(&site.server, "Tomas Reeve"), format!("/walks/{walk}"))
}

/// The plan for leaving, before work is stopped and then act by act.
fn leave(page: &mut Page, walker: &mut Walker, walk: &str, is_verified: bool) {
    let ways = page.device.get(&format!("{walk}/stop")).body;
    assert!(shown(&ways, is_verified) >= 1, "{ways}");
    page.stop();
    let (mut on_page, mut for_programs) = (0, 0);
    for _ in 0..40 {
        let (_, stands) = walker.get(walk).expect("an answer");
        let leaving = &stands["leaving"];
        let rest = leaving["rest"].as_array().into_iter().flatten();
        for line in
            rest.filter(|line| line["words"].as_str().is_some_and(|words| words.contains("charger plug")))
        {
            told(&line["act"], is_verified);
            for_programs += 1;
        }
        on_page += shown(&page.body, is_verified);
        match leaving["is"].as_str() {
            Some("act") if leaving["act"].as_str().is_some_and(|act| act.contains("charger plug")) => {
                told(&leaving["shown"], is_verified);
                for_programs += 1;
                page.say("left", "done");
            }
            Some("act") => page.say("left", "jump"),
            Some("look") => {
                // Whoever stopped at the gate may have begun what it offers: that is looked at, and the plug is in still.
                let choices = leaving["choices"].as_array().expect("choices");
                let is_plug = leaving["condition"] == "charger";
                let seen = choices.iter().find(|choice| !is_plug || **choice == json!(["attached"]));
                let values = seen.and_then(Value::as_array).expect("values").iter();
                let values: Vec<&str> = values.map(|value| value.as_str().expect("a value")).collect();
                page.say("leave-look", &values.join(" or "));
            }
            _ => break,
        }
    }
    assert!(for_programs >= 1 && on_page >= 1, "{for_programs}, {on_page}");
}

#[test]
fn a_gate_and_the_way_to_leave_show_what_is_read_before_an_act() {
    let site = Site::served_as(demanding);
    let (mut page, mut walker, walk) = shut_on(&site);
    assert!(page.says("This was done: look again"), "{}", page.body);
    assert_eq!(shown(&page.body, false), 1);
    let (_, asked) = walker.get(&walk).expect("an answer");
    told(&asked["prompt"]["offers"][0]["act"], false);
    leave(&mut page, &mut walker, &walk, false);
}

/// What somebody else verifies is not done in passing: the gate does not offer it, and the way to leave the machine says who does.
#[test]
fn what_is_verified_is_offered_by_no_gate() {
    let site = Site::served_as(verified);
    let (mut page, mut walker, walk) = shut_on(&site);
    assert!(!page.says("This was done: look again"), "{}", page.body);
    let (_, asked) = walker.get(&walk).expect("an answer");
    assert_eq!(asked["prompt"]["offers"], json!([]), "{asked}");
    leave(&mut page, &mut walker, &walk, true);
}

/// What has to be waited for before the machine is left is counted down on the page, and told to other programs.
#[test]
fn the_wait_before_leaving_is_counted_down() {
    let site = Site::served_as(demanding);
    let mut walker = Walker::signed_in(&site.server, "Tomas Reeve");
    let body = json!({ "procedure": "strainer-clean", "serial": "OSK-0117", "training": true });
    let (status, begun) = walker.call("POST", "/walks", &body).expect("an answer");
    assert_eq!(status, 201, "{begun}");
    let path = format!("/walks/{}", begun["id"].as_str().expect("a name"));
    let mut keys = 0;
    let mut say = |walker: &mut Walker, below: &str, mut body: Value| {
        keys += 1;
        body["key"] = json!(format!("key-{keys}"));
        let (status, reply) = walker.call("POST", &format!("{path}/{below}"), &body).expect("an answer");
        assert_eq!(status, 200, "{body}: {reply}");
        reply
    };
    let mut stands = begun;
    while stands["prompt"]["is"] != "act" {
        let (below, body) = willing(&stands).expect("it goes on");
        stands = say(&mut walker, below, body);
    }
    stands = say(&mut walker, "stop", json!({ "reason": "Rain." }));
    while stands["leaving"]["wait"].is_null() {
        assert_eq!(stands["leaving_timer"], json!(null), "{stands}");
        let leaving = &stands["leaving"];
        let position = stands["position"].clone();
        let body = match leaving["is"].as_str() {
            Some("act") => json!({ "say": "left", "value": "done", "position": position }),
            Some("look") => {
                // Whoever stopped at the gate may have begun what it offers: that is looked at, and the plug is in still.
                let choices = leaving["choices"].as_array().expect("choices");
                let is_plug = leaving["condition"] == "charger";
                let seen = choices.iter().find(|choice| !is_plug || **choice == json!(["attached"]));
                let values = seen.and_then(Value::as_array).expect("values").iter();
                let values: Vec<&str> = values.map(|value| value.as_str().expect("a value")).collect();
                json!({ "say": "leave-look", "value": values.join(" or "), "position": position })
            }
            other => panic!("no wait comes: {other:?}: {stands}"),
        };
        stands = say(&mut walker, "answers", body);
    }
    let whole = stands["leaving"]["wait"].as_u64().expect("a time");
    let left = |stands: &Value| stands["leaving_timer"]["left"].as_u64().expect("a time");
    let first = left(&stands);
    assert!(first <= whole && first + 20_000 > whole, "{stands}");
    std::thread::sleep(std::time::Duration::from_millis(1_100));
    let (_, later) = walker.get(&path).expect("an answer");
    assert!(left(&later) + 1_000 <= first, "{later}");
    let page = walker.device.get(&path).body;
    let counted =
        page.split_once("data-left=\"").and_then(|(_, rest)| rest.split_once('"')).expect("a timer").0;
    assert!(counted.parse::<u64>().expect("a number") <= left(&later), "{page}");
    assert!(
        page.contains("role=\"timer\"")
            && page.contains("<button type=\"submit\" name=\"value\" value=\"over\"")
    );
    // Not before it is over.
    let body = json!({ "say": "left", "value": "over", "position": stands["position"], "key": "too-soon" });
    assert_eq!(walker.call("POST", &format!("{path}/answers"), &body).expect("an answer").0, 422);
}

/// What went before is told in words: which step, and what people call things.
#[test]
fn what_went_before_is_told_in_words() {
    let site = Site::served_as(str::to_owned);
    let mut device = Device::signed_in(&site.server, "Tomas Reeve");
    let walk = device.begin("strainer-clean");
    let mut page = shut(device, &walk);
    let before = |page: &Page| {
        let (_, section) =
            page.body.split_once("<h2 id=\"before\">").unwrap_or_else(|| panic!("{}", page.body));
        section.split_once("</section>").expect("its end").0.to_owned()
    };
    let mut all = String::new();
    page.say("restored", "detach-charger");
    page.say("look", "yes");
    for _ in 0..60 {
        all += &before(&page);
        if page.says("The walk is") || page.says("Step 5 of 29") {
            break;
        }
        let walk = page.path.trim_start_matches("/walks/").to_owned();
        assert_eq!(page.device.walk(&walk, 1), 1, "{}", page.body);
        page.read();
        assert!(!page.says("Take back: confirm") && !page.says("Take back: gloves"), "{}", page.body);
    }
    for words in [
        "before step 1: outlet valve open: yes",
        "put right: Pull the charger plug out of the charging socket, for charger",
        "Step 1: supply switch isolated: yes",
        "Step 4: done",
    ] {
        assert!(all.contains(words), "{words:?} is not in {all}");
    }
    for id in ["confirm-isolated", "confirm-no-pressure", "eye-protection", "gloves:", "detach-charger"] {
        assert!(!all.contains(id), "{id} is in {all}");
    }
    // The record keeps the names.
    let record = page.device.get(&page.path.replace("/walks/", "/records/")).body;
    assert!(record.contains("gloves: done"), "{record}");
}
