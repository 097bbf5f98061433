//! Work stopped among the fasteners of a group: by the record the machine may be left as from before the step or as from
//! after it, and there may be a way for each.

use super::server::Server;
use super::sweep::said;
use super::trail::Trail;
use super::walker::{Walker, willing};
use serde_json::{Value, json};

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

/// Goes the way that is told, act by act, to its end; the first look shows what one of its choices says, and every later one
/// what it should. Gives the acts.
fn gone(walker: &mut Walker, trail: &Trail, mut walk: Value, choice: usize) -> (Vec<String>, Value) {
    let mut acts = Vec::new();
    let mut choice = Some(choice);
    for number in 0..40 {
        let (say, value) = match walk["leaving"]["is"].as_str().expect("a kind") {
            "nothing" => return (acts, walk),
            "act" => {
                acts.push(walk["leaving"]["act"].as_str().expect("an act").to_owned());
                ("left", if walk["leaving"]["wait"].is_null() { "done" } else { "jump" }.to_owned())
            }
            "look" => {
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
    panic!("the way does not end: {acts:?}");
}

#[test]
fn work_stopped_among_fasteners_is_left_by_the_way_that_fits() {
    let server = Server::start(&BATTERY);
    let mut walker = Walker::signed_in(&server, "Tomas Reeve");
    let mut looks = 0;
    // Loosening the cover with one and with four screws out of six; tightening it with two.
    for (groups, ticks) in [(0, 1), (0, 4), (1, 2)] {
        let path = |trail: &Trail, below: &str| format!("/walks/{}/{below}", trail.id);
        let stop = |walker: &mut Walker| {
            let (trail, _) = among(walker, groups, ticks);
            let body = json!({ "reason": "A screw turns without end.", "key": "stop" });
            let (status, stopped) = walker.call("POST", &path(&trail, "stop"), &body).expect("an answer");
            assert_eq!((status, &stopped["standing"]), (200, &json!("stopped")), "{stopped}");
            (trail, stopped)
        };
        let (trail, stopped) = stop(&mut walker);
        // Nobody chooses between doing something and nothing: what is so is asked where it decides.
        let choices = match stopped["leaving"]["is"].as_str().expect("a kind") {
            "look" => stopped["leaving"]["choices"].as_array().expect("choices").len(),
            other => {
                assert_eq!(other, "act", "{stopped}");
                1
            }
        };
        looks += usize::from(choices > 1);
        let mut ends = Vec::new();
        for choice in 0..choices {
            let (trail, stopped) =
                if choice == 0 { (trail.clone(), stopped.clone()) } else { stop(&mut walker) };
            let (acts, left) = gone(&mut walker, &trail, stopped, choice);
            let release = json!({
                "remark": "A new screw is in.", "person": "Gwen Adeyi", "pin": "730194", "key": "back",
                "position": left["position"]
            });
            let (status, back) = walker.call("POST", &path(&trail, "release"), &release).expect("an answer");
            assert_eq!((status, &back["returned"]), (200, &json!(true)), "{back}");
            ends.push((left["leaving"]["is"].clone(), acts));
        }
        ends.sort_by_key(|(_, acts)| acts.len());
        let screws = vec!["Screw the top cover down with all six screws.".to_owned()];
        let wanted = if choices == 1 { vec![screws] } else { vec![Vec::new(), screws] };
        assert_eq!(
            ends.into_iter().map(|(_, acts)| acts).collect::<Vec<_>>(),
            wanted,
            "{groups} {ticks} {stopped}"
        );
    }
    assert_eq!(looks, 2);
}
