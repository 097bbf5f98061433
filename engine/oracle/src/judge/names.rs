//! The names of places, written out by hand: whoever compares faults has to write the same.

use super::explore::{TooLarge, explore};
use super::model::Judged;
use crate::documents::{equipment, library, procedure};
use serde_json::json;

fn documents() -> Judged {
    let conditions = json!({
        "a": { "values": ["x", "y"], "ask": "Is it x?" },
        "b": { "values": ["x", "y"], "ask": "Is it x?" }
    });
    let rig = equipment(conditions, json!({}));
    let inner_steps = json!([{ "id": "in", "do": "Act.", "only": { "tip": "small" } }]);
    let inner = procedure("inner", json!({}), json!({}), inner_steps);
    let steps = json!([
        { "id": "both", "any_order": [
            { "id": "one", "do": "Act.", "leaves": { "a": "x", "b": "x" }, "verified_by": "technician" },
            { "id": "two", "do": "Act." }
        ] },
        {
            "id": "round", "otherwise": "stop",
            "repeat": { "until": { "a": "x", "b": "x" }, "at_most": 2, "steps": [{ "id": "act", "do": "Act." }] }
        },
        { "id": "other", "perform": "inner", "leaves": { "a": "x" } },
        {
            "id": "read", "otherwise": "done",
            "measure": { "what": "it", "instrument": "gauge", "at_least": "1 V", "shows": { "a": "x" }, "retests": 1 }
        }
    ]);
    let main = procedure("main", json!({}), json!({}), steps);
    Judged::new(&library(&[&rig, &inner, &main]).expect("documents without findings"), "main")
}

#[test]
fn places_have_names() {
    let found = explore(&documents(), 10_000).expect("a small one");
    let reached: Vec<&str> = found.reached.iter().map(String::as_str).collect();
    let expected = [
        "both [] body",
        "both [] choose",
        "both/one [] body",
        "both/one [] in act 1",
        "both/one [] verify",
        "both/one [] verify → stop",
        "both/two [] body",
        "done",
        "other [] body",
        "other [] last",
        "other/in [] body",
        "other/in [] only",
        "read [] attempt 2",
        "read [] body",
        "round [] body",
        "round [] tick 2",
        "round [] tick 2 → stop",
        "round [] until 1",
        "round [] until 2",
        "round/act [1] body",
        "round/act [2] body",
    ];
    assert_eq!(reached, expected);
}

#[test]
fn past_its_limit_there_is_no_verdict() {
    assert_eq!(explore(&documents(), 10).err(), Some(TooLarge));
}

#[test]
fn every_fault_of_one_place_is_told_with_the_whole_path() {
    let conditions = json!({ "a": { "values": ["x", "y"] }, "b": { "values": ["x", "y"] } });
    let rig = equipment(conditions, json!({}));
    let steps = json!([
        { "id": "first", "do": "Act." },
        { "id": "use", "do": "Work.", "requires": { "a": "x", "b": "x" } }
    ]);
    let main = procedure("main", json!({}), json!({}), steps);
    let library = library(&[&rig, &main]).expect("documents without findings");
    let found = explore(&Judged::new(&library, "main"), 100).expect("a small one");
    assert_eq!(found.faults.len(), 2);
    assert!(found.paths.values().all(|path| path[..] == ["first [] body: Done", "use [] body"]), "{found:?}");
}
