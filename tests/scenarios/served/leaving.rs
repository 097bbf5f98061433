//! Work stopped among the fasteners of a group: by the record the machine may be as from before the step or as from after it.
//! The way out serves both, and looks at every part of the state in which the machine may be left.

use super::server::Server;
use super::sweep::said;
use super::trail::Trail;
use super::walker::{Walker, willing};
use serde_json::{Value, json};
use std::collections::BTreeSet;

const BATTERY: [&str; 2] =
    ["procedures/oskerry-22/equipment.yaml", "procedures/oskerry-22/battery-replacement.yaml"];

/// A walk that has come to the fasteners of a group, `groups` groups further on, with so many ticked.
fn among(walker: &mut Walker, groups: usize, ticks: usize) -> (Trail, Value) {
    let (_, mut walk) = walker.begin("battery-replacement").expect("an answer");
    let mut trail = Trail::new(walk["id"].as_str().expect("a name"));
    let mut passed = 0;
    let mut step = String::new();
    loop {
        let kind = walk["prompt"]["is"].as_str().expect("a kind");
        let here = walk["step"]["id"].as_str().unwrap_or_default().to_owned();
        if kind == "fasten" {
            if here != step {
                passed += 1;
                step = here;
            }
            let ticked = walk["prompt"]["ticked"].as_array().expect("a list").len();
            if passed > groups && ticked == ticks {
                return (trail, walk);
            }
        }
        let (below, body) = willing(&walk).expect("it has not come to the group");
        walk = said(walker, &mut trail, below, body).expect("an answer");
    }
}

/// What can be seen of the state in which the machine may be left. Its covers are no part of it.
const SAFE_STATE: [&str; 7] =
    ["castors", "charger", "negative-lead", "positive-lead", "pressure", "supply", "trigger"];

/// What was done and looked at on the way out.
#[derive(Default)]
struct Gone {
    acts: Vec<String>,
    looked_at: BTreeSet<String>,
}

/// Goes the way that is told, act by act, to its end; the first look shows what one of its choices says, and every later one
/// what it should.
fn gone(walker: &mut Walker, trail: &Trail, mut walk: Value, choice: usize) -> (Gone, Value) {
    let mut gone = Gone::default();
    let mut choice = Some(choice);
    for number in 0..40 {
        let (say, value) = match walk["leaving"]["is"].as_str().expect("a kind") {
            "nothing" => return (gone, walk),
            "act" => {
                gone.acts.push(walk["leaving"]["act"].as_str().expect("an act").to_owned());
                ("left", if walk["leaving"]["wait"].is_null() { "done" } else { "jump" }.to_owned())
            }
            "look" => {
                gone.looked_at.insert(walk["leaving"]["condition"].as_str().expect("a condition").to_owned());
                let chosen =
                    walk["leaving"]["choices"][choice.take().unwrap_or(0)].as_array().expect("values").iter();
                let values: Vec<&str> = chosen.map(|value| value.as_str().expect("a value")).collect();
                ("leave-look", values.join(" or "))
            }
            other => panic!("{other}: {walk}"),
        };
        let body =
            json!({ "say": say, "value": value, "position": walk["position"], "key": format!("l-{number}") });
        let (status, next) =
            walker.call("POST", &format!("/walks/{}/answers", trail.id), &body).expect("an answer");
        assert_eq!(status, 200, "{body}: {next}");
        walk = next;
    }
    panic!("the way does not end: {:?}", gone.acts);
}

#[test]
fn work_stopped_among_fasteners_is_left_by_the_way_that_fits() {
    let server = Server::start(&BATTERY);
    let mut walker = Walker::signed_in(&server, "Tomas Reeve");
    // Loosening the tank frame with one screw out of three and the top cover with four out of six; the frame again with two.
    for (groups, ticks) in [(0, 1), (0, 4), (1, 2)] {
        let path = |trail: &Trail, below: &str| format!("/walks/{}/{below}", trail.id);
        let stop = |walker: &mut Walker| {
            let (trail, _) = among(walker, groups, ticks);
            let body = json!({ "reason": "A screw turns without end.", "key": "stop" });
            let (status, stopped) = walker.call("POST", &path(&trail, "stop"), &body).expect("an answer");
            assert_eq!((status, &stopped["standing"]), (200, &json!("stopped")), "{stopped}");
            (trail, stopped)
        };
        // What was seen last is not believed: what is so is asked where it decides, and a lead found bare is capped.
        let cap = "Push an insulating cap over the black lead end and another over the minus terminal.";
        for (choice, wanted) in [(0, vec![]), (1, vec![cap])] {
            let (trail, stopped) = stop(&mut walker);
            assert_eq!(stopped["leaving"]["condition"], "negative-lead", "{stopped}");
            assert_eq!(stopped["leaving"]["choices"], json!([["connected", "insulated"], ["bare"]]));
            let (gone, left) = gone(&mut walker, &trail, stopped, choice);
            assert_eq!(gone.acts, wanted, "{groups} {ticks}");
            let missing: Vec<&str> =
                SAFE_STATE.into_iter().filter(|part| !gone.looked_at.contains(*part)).collect();
            assert!(missing.is_empty(), "{missing:?} {groups} {ticks}");
            let release = json!({
                "remark": "A new screw is in.", "person": "Gwen Adeyi", "pin": "730194", "key": "back",
                "position": left["position"]
            });
            let (status, back) = walker.call("POST", &path(&trail, "release"), &release).expect("an answer");
            assert_eq!((status, &back["returned"]), (200, &json!(true)), "{back}");
        }
    }
}

/// Whoever was not there when work was stopped goes on by name, and from the beginning.
#[test]
fn who_goes_on_with_leaving_takes_it_up_by_name_and_begins_anew() {
    let server = Server::start(&BATTERY);
    let mut one = Walker::signed_in(&server, "Tomas Reeve");
    let mut two = Walker::signed_in(&server, "Gwen Adeyi");
    let (trail, _) = among(&mut one, 0, 1);
    let path = format!("/walks/{}", trail.id);
    let answers = format!("{path}/answers");
    let stop = json!({ "reason": "A screw turns without end.", "key": "stop" });
    let (_, stopped) = one.call("POST", &format!("{path}/stop"), &stop).expect("an answer");
    assert_eq!(stopped["attends"], json!(true), "{stopped}");
    let (_, found) = two.call("GET", &path, &json!(null)).expect("an answer");
    assert_eq!(found["attends"], json!(false), "{found}");
    for say in ["left", "leave-look"] {
        let body = json!({ "say": say, "value": "cannot-tell", "position": found["position"], "key": say });
        let (status, refused) = two.call("POST", &answers, &body).expect("an answer");
        assert_eq!(status, 422, "{refused}");
    }
    let resume = json!({ "say": "resume", "position": found["position"], "key": "resume" });
    let (status, taken_up) = two.call("POST", &answers, &resume).expect("an answer");
    assert_eq!((status, &taken_up["walker"]), (200, &json!("Gwen Adeyi")), "{taken_up}");
    assert_eq!(taken_up["leaving"], found["leaving"], "what was shown to whoever came");
    assert_eq!((&taken_up["attends"], &taken_up["standing"]), (&json!(true), &json!("stopped")));
    let (_, left) = one.call("GET", &path, &json!(null)).expect("an answer");
    assert_eq!(left["attends"], json!(false), "{left}");
}
