//! What people see at the machine, on the pages of a walk: each look with a tick of its own and three answers, gates that stay
//! shut, surprises, verifications that are denied, work that is taken up again.

use super::device::Device;
use super::page::Page;
use super::server::{SMALL, Server};
use super::walker::{Walker, willing};
use serde_json::{Value, json};

/// A walk of the strainer that has come to its first look.
fn begun(server: &Server) -> Page {
    let mut device = Device::signed_in(server, "Tomas Reeve");
    let walk = device.begin("strainer-clean");
    // Which hose and which tip this machine has.
    assert_eq!(device.walk(&walk, 2), 2);
    Page::of(device, &walk)
}

/// A walk that was at a step when the program ended; it was started again.
fn interrupted_at(server: &mut Server, step: &str) -> Page {
    let mut page = begun(server);
    page.until(step);
    server.kill();
    server.start_again();
    page.device.sign_in("Tomas Reeve");
    page.read();
    page
}

const SHUT: &str = "The gate stays shut. It must be so: supply switch isolated.";
const FIRST: &str = "Is the supply switch at 0, with its lamp dark?";

#[test]
fn every_look_has_a_tick_of_its_own_with_three_answers() {
    let server = Server::start(&SMALL);
    let mut page = begun(&server);
    let mut asked = 0;
    while page.says("Before you start") {
        asked += 1;
        assert_eq!(page.ticks(), 1, "{}", page.body);
        for answer in ["yes", "cannot-tell"] {
            assert!(page.says(&format!("name=\"value\" value=\"{answer}\"")), "{answer}: {}", page.body);
        }
        // What the tank and the hose hold has a question for each value: which it is is said in the place of a plain no.
        assert_eq!(page.says(NO), !matches!(asked, 3 | 4), "{}", page.body);
        // Which answer is wanted is not suggested.
        assert!(!page.says("<button name=\"value\" value=\"yes\" type=\"submit\">"), "{}", page.body);
        assert!(page.says(&format!("{asked} of 5")), "{}", page.body);
        page.say("look", "yes");
    }
    // What `requires` states; nothing that a step looks at before it relies on it.
    assert_eq!(asked, 5);
    for (number, question) in
        [(1, FIRST), (2, "Is the charger plug out"), (3, "Is the trigger fully forward")]
    {
        assert!(page.says("Step 1 of 29") && page.says(question), "{}", page.body);
        assert!(page.says(&format!("{number} of 3")) && page.ticks() == 1, "{}", page.body);
        page.say("look", "yes");
    }
    assert!(page.says("Step 2 of 29"), "{}", page.body);
}

#[test]
fn a_gate_that_stays_shut_offers_what_may_put_it_right_once() {
    let server = Server::start(&SMALL);
    let mut page = begun(&server);
    // The others are still asked.
    page.looks(&["no", "yes", "yes", "yes", "yes"]);
    assert!(page.says(SHUT) && page.says("Turn the supply switch to 0."), "{}", page.body);
    assert!(page.says("This was done: look again") && page.says("Stop work"), "{}", page.body);
    // Nothing else goes on.
    let position = page.read().field("look", "position");
    let reply = page.sent("restored", "relieve-pressure");
    assert_eq!(reply.status, 422, "what is not offered: {}", reply.body);
    page.say("restored", "isolate");
    assert_ne!(page.read().field("look", "position"), position);
    assert!(page.says(FIRST) && !page.says("The gate stays shut"), "the same look: {}", page.body);
    page.say("look", "yes");
    assert!(page.says("Step 1 of 29"), "{}", page.body);
    let record = page.device.get(&page.path.replace("/walks/", "/records/")).body;
    assert!(record.contains("put right: isolate, for supply"), "{record}");
}

#[test]
fn it_may_be_looked_at_once_more_and_a_second_no_leaves_only_a_stop() {
    let server = Server::start(&SMALL);
    for (first, second) in [("no", "no"), ("cannot-tell", "no"), ("no", "cannot-tell")] {
        let mut page = begun(&server);
        page.looks(&[first, "yes", "yes", "yes", "yes"]);
        assert!(page.says(SHUT) && page.says("Look once more when it may have changed"), "{}", page.body);
        let stale = page.read();
        page.say("look", second);
        assert!(page.says(SHUT) && page.says("Stop work: what to do then follows"), "{}", page.body);
        assert_eq!(page.ticks(), 0, "{}", page.body);
        assert!(!page.says("This was done: look again"), "{}", page.body);
        let (csrf, position) = (stale.field("look", "csrf"), page.read().field("note", "position"));
        let third =
            [("csrf", &*csrf), ("position", &*position), ("key", "third"), ("say", "look"), ("value", "yes")];
        let reply = page.device.post(&page.path.clone(), &third);
        assert_eq!(reply.status, 422, "{}", reply.body);
        assert!(reply.body.contains("The gate stays shut"), "{}", reply.body);
        page.stop();
        assert!(
            page.says("The walk is stopped: It is not so.") && page.says("Before you leave"),
            "{}",
            page.body
        );
    }
}

#[test]
fn a_second_look_at_a_shut_gate_that_is_a_yes_opens_it() {
    let server = Server::start(&SMALL);
    let mut page = begun(&server);
    page.looks(&["yes", "cannot-tell", "yes", "yes", "yes"]);
    assert!(page.says("It must be so: charger detached."), "{}", page.body);
    assert!(page.says("Pull the charger plug out of the charging socket."), "{}", page.body);
    page.say("look", "yes");
    assert!(page.says("Step 1 of 29"), "{}", page.body);
}

#[test]
fn a_look_that_contradicts_the_record_is_told_as_what_is_seen() {
    let server = Server::start(&SMALL);
    let mut page = begun(&server);
    page.looks(&["yes"; 5]);
    assert!(page.says("Step 1 of 29") && page.says(FIRST), "{}", page.body);
    page.say("look", "no");
    let told = "The supply switch is live, though by the record it was isolated. What is seen counts.";
    assert!(page.says(told), "{}", page.body);
    // The others of the page are still ticked, and then work stops as the step says.
    assert!(page.says("2 of 3"), "{}", page.body);
    page.say("look", "yes");
    assert!(!page.says("though by the record"), "it is told once: {}", page.body);
    page.say("look", "cannot-tell");
    assert!(page.says("The walk is stopped") && page.says("Before you leave the machine"), "{}", page.body);
    let record = page.device.get(&page.path.replace("/walks/", "/records/")).body;
    assert!(record.contains("supply isolated: no. By the record the supply was isolated"), "{record}");
    assert!(record.contains("trigger released: cannot tell"), "{record}");
}

#[test]
fn what_is_not_so_or_cannot_be_told_goes_the_way_that_is_written_for_it() {
    let server = Server::start(&SMALL);
    for answer in ["no", "cannot-tell"] {
        let mut page = begun(&server);
        page.until("Are the strainer bowl, its plug, the valve and the tray under the pump dry?");
        page.say("look", answer);
        // The check was open since the bowl was: what is found contradicts nothing.
        assert!(!page.says("though by the record"), "{}", page.body);
        assert!(
            page.says("Step 27 of 29") && page.says("The drip from the joints has stopped."),
            "{}",
            page.body
        );
        page.until("The walk is stopped");
        assert!(page.says("Before you leave the machine"), "{}", page.body);
    }
}

#[test]
fn an_act_that_had_been_done_before_the_interruption_is_not_done_again() {
    let mut server = Server::start(&SMALL);
    let mut page = interrupted_at(&mut server, "Step 12 of 29");
    page.say("resume", "");
    assert!(page.says("Yes, and it had been done to its end"), "{}", page.body);
    page.say("was-done", "");
    assert!(page.says("Look again: work is taken up after an interruption."), "{}", page.body);
    while page.says("Look again: work is taken up after an interruption.") {
        page.say("look", "yes");
    }
    page.say("timer", "jump");
    assert!(page.says("Step 13 of 29"), "{}", page.body);
}

#[test]
fn work_that_is_taken_up_again_is_looked_at_and_waited_for() {
    let mut server = Server::start(&SMALL);
    let mut page = interrupted_at(&mut server, "Step 12 of 29");
    assert!(page.says("The walk was interrupted. What the rest relies on is asked again"), "{}", page.body);
    assert!(!page.says("Unscrew the strainer bowl by hand."), "{}", page.body);
    page.say("resume", "");
    assert!(page.says("Had this act been begun before the interruption?"), "{}", page.body);
    assert!(!page.says("value=\"cannot-tell\""), "{}", page.body);
    page.say("look", "no");
    let mut asked = 0;
    while page.says("Look again: work is taken up after an interruption.") {
        assert!(page.says("To be confirmed again") && page.ticks() == 1, "{}", page.body);
        page.say("look", "yes");
        asked += 1;
    }
    assert!(asked > 4, "only {asked} looks");
    // Nobody sees the high voltage: the walk itself waits for it, in full.
    assert!(page.says("To be waited for again"), "{}", page.body);
    assert!(page.says("Wait for: high voltage at the tip dissipated"), "{}", page.body);
    assert!(page.says("left of 45 s"), "{}", page.body);
    let reply = page.sent("timer", "over");
    assert_eq!(reply.status, 422);
    assert!(reply.body.contains("The wait is not over"), "{}", reply.body);
    page.say("timer", "jump");
    assert!(page.says("Step 12 of 29") && page.says("Unscrew the strainer bowl by hand."), "{}", page.body);
}

const BATTERY: [&str; 2] =
    ["procedures/oskerry-22/equipment.yaml", "procedures/oskerry-22/battery-replacement.yaml"];

/// A walk of the battery that has come to its first signature.
fn to_be_verified(server: &Server) -> (Walker, Value) {
    let mut walker = Walker::signed_in(server, "Tomas Reeve");
    let (_, mut walk) = walker.begin("battery-replacement").expect("an answer");
    let path = format!("/walks/{}", walk["id"].as_str().expect("a name"));
    let mut key = 0;
    while walk["prompt"]["is"] != "sign" {
        key += 1;
        let (below, mut body) = willing(&walk).expect("it has not ended");
        body["key"] = json!(format!("k-{key}"));
        let (status, next) = walker.call("POST", &format!("{path}/{below}"), &body).expect("an answer");
        assert_eq!(status, 200, "{body}: {next}");
        walk = next;
    }
    (walker, walk)
}

#[test]
fn a_verification_that_is_denied_opens_what_was_done_and_is_on_record() {
    let server = Server::start(&BATTERY);
    let (walker, walk) = to_be_verified(&server);
    let mut page = Page::of(walker.device, walk["id"].as_str().expect("a name"));
    assert!(page.says("To be verified by the second person, who looks at it and signs."), "{}", page.body);
    assert!(page.says("awaiting verification") && page.says(">Not so</button>"), "{}", page.body);
    let form = page.read();
    let (csrf, position) = (form.field("", "csrf"), form.field("", "position"));
    let denied = |page: &mut Page, key: &str, person: &str, pin: &str| {
        let fields = [
            ("csrf", &*csrf),
            ("position", &*position),
            ("key", key),
            ("person", person),
            ("pin", pin),
            ("verdict", "not-so"),
        ];
        page.device.post(&format!("{}/sign", page.path), &fields)
    };
    // Denying takes the role, the PIN and another person, as signing does.
    for (key, person, pin) in
        [("d-1", "Tomas Reeve", "402917"), ("d-2", "Anneke Voss", "000000"), ("d-3", "Gwen Adeyi", "730194")]
    {
        let reply = denied(&mut page, key, person, pin);
        assert_eq!(reply.status, 422, "{person}: {}", reply.body);
    }
    assert_eq!(denied(&mut page, "d-4", "Anneke Voss", "518263").status, 303);
    page.read();
    // The step says what then: work stops, and the way out looks at both leads.
    assert!(page.says("The walk is stopped") && page.says("Before you leave the machine"), "{}", page.body);
    let ways = page.device.get(&page.path.replace("/walks/", "/records/")).body;
    assert!(ways.contains("both-capped: not so, says Anneke Voss, second-person"), "{ways}");
    let mut looked = Vec::new();
    while let Some((_, rest)) = page.body.split_once("What is so of the ") {
        looked.push(rest.split('?').next().unwrap_or_default().to_owned());
        assert!(looked.len() < 20, "{looked:?}");
        let first = page.body.split("name=\"value\" value=\"").nth(1).and_then(|rest| rest.split('"').next());
        let first = first.expect("a choice").to_owned();
        page.say("leave-look", &first);
    }
    for lead in ["black lead (minus)", "red lead (plus)"] {
        assert!(looked.iter().any(|one| one == lead), "{lead}: {looked:?}");
    }
}

/// Whoever stops has stopped, even under a key that came with an earlier answer.
#[test]
fn a_stop_under_a_used_key_is_a_stop() {
    let server = Server::start(&SMALL);
    let mut walker = Walker::signed_in(&server, "Tomas Reeve");
    let (_, walk) = walker.begin("strainer-clean").expect("an answer");
    let path = format!("/walks/{}", walk["id"].as_str().expect("a name"));
    let (below, mut body) = willing(&walk).expect("it has not ended");
    body["key"] = json!("k");
    assert_eq!(walker.call("POST", &format!("{path}/{below}"), &body).expect("an answer").0, 200);
    let stop = json!({ "reason": "A leak.", "key": "k" });
    let (status, stopped) = walker.call("POST", &format!("{path}/stop"), &stop).expect("an answer");
    assert_eq!((status, &stopped["standing"]), (200, &json!("stopped")), "{stopped}");
}

/// What was tapped by mistake is taken back on its page: the question stands again, and both are on record.
#[test]
fn the_last_answer_is_taken_back_on_the_page() {
    let server = Server::start(&SMALL);
    let mut page = begun(&server);
    page.looks(&["no"]);
    assert!(page.says("Take back: ") && page.says("2 of 5"), "{}", page.body);
    page.say("take-back", "");
    assert!(page.says(FIRST) && page.says("1 of 5"), "{}", page.body);
    // The values of the variants come next, and then there is nothing more.
    page.say("take-back", "");
    page.say("take-back", "");
    assert!(!page.says("Take back: "), "{}", page.body);
    let record = page.device.get(&page.path.replace("/walks/", "/records/")).body;
    assert!(record.contains("taken back: before step 1: supply isolated: no"), "{record}");
}

/// The button of a plain no.
const NO: &str = "name=\"value\" value=\"no\"";

/// Whoever says no is asked on where each other value has a question of its own; what is seen is on record and decides the way.
#[test]
fn a_look_that_is_no_asks_on_in_the_same_place() {
    let server = Server::start(&SMALL);
    let mut page = begun(&server);
    page.looks(&["yes", "yes", "yes", "yes", "yes"]);
    page.say("look", "yes");
    assert!(!page.says("If no, which of these"), "one other value is none to ask on: {}", page.body);
    assert!(page.says(NO), "{}", page.body);
    page.say("look", "yes");
    assert!(!page.says(NO), "no alone is no answer: {}", page.body);
    for question in ["Is a hand holding the trigger back?", "Is the trigger back, with its latch shut?"] {
        assert!(page.says("If no, which of these is seen to be so?") && page.says(question), "{}", page.body);
    }
    let reply = page.sent("look", "no");
    assert_eq!(reply.status, 422, "{}", reply.body);
    assert!(
        reply.body.contains("Say which it is: held (Is a hand holding the trigger back?)"),
        "{}",
        reply.body
    );
    page.say("is", "latched");
    let record = page.device.get(&page.path.replace("/walks/", "/records/")).body;
    assert!(record.contains("trigger released: no, it is latched"), "{record}");
}

/// A program is told the same: which values are said in the place of "no", and why "no" alone is not taken.
#[test]
fn a_program_says_which_it_is() {
    let server = Server::start(&SMALL);
    let mut walker = Walker::signed_in(&server, "Tomas Reeve");
    let (_, mut walk) = walker.begin("strainer-clean").expect("an answer");
    let path = format!("/walks/{}/answers", walk["id"].as_str().expect("a name"));
    let mut key = 0;
    let mut give = |mut body: Value| {
        key += 1;
        body["key"] = json!(format!("k-{key}"));
        walker.call("POST", &path, &body).expect("an answer")
    };
    while walk["prompt"]["others"].as_array().is_none_or(Vec::is_empty) {
        let (status, next) = give(willing(&walk).expect("it has not ended").1);
        assert_eq!(status, 200, "{next}");
        walk = next;
    }
    let said = |say: &str, value: &str| json!({ "say": say, "value": value, "position": walk["position"] });
    let (status, refused) = give(said("look", "no"));
    assert_eq!((status, &refused["reason"]), (422, &json!("No alone does not tell what it is")), "{refused}");
    let others = walk["prompt"]["others"].as_array().expect("values");
    for other in others {
        let (value, question) = (other["value"].as_str(), other["question"].as_str());
        let named = format!("{} ({})", value.expect("a value"), question.expect("a question"));
        assert!(refused["opens"].as_str().is_some_and(|opens| opens.contains(&named)), "{named}: {refused}");
    }
    let (status, next) = give(said("is", others[1]["value"].as_str().expect("a value")));
    assert_eq!(status, 200, "{next}");
}
