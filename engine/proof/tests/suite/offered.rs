//! Looks that ask on, and items of a block that a look of another item contradicts, with the verdict worked out by hand.

use super::directed::{NOTHING, proved, two, verdict_on};
use machine::{AbstractState, DONE, Machine, NodeId};
use oracle::{equipment, library, procedure};
use serde_json::{Value, json};
use std::collections::BTreeSet;

fn three() -> Value {
    json!({ "values": ["v0", "v1", "v2"], "ask": "Is it v0?" })
}

fn by_value() -> Value {
    json!({ "values": ["v0", "v1", "v2"], "ask": { "v0": "Is it v0?", "v1": "Is it v1?", "v2": "Is it v2?" } })
}

/// Only who is told what it is finds the rule broken: "not v0" leaves it open.
#[test]
fn what_it_is_instead_may_be_found_broken() {
    let found = |a: Value| {
        let rules = json!({ "r": { "when": { "a": "v2", "b": "v1" }, "hazard": "harm" } });
        let steps = json!([
            { "id": "look", "confirm": { "b": "v1", "a": "v0" }, "otherwise": "call" },
            { "id": "call", "do": "Act." }
        ]);
        proved(json!({ "a": a, "b": two() }), rules, json!({ "b": "v1" }), steps)
    };
    assert_eq!(found(by_value()), ["call mends nothing"]);
    assert_eq!(found(three()), NOTHING);
}

/// What an item leaves, and a look of another that says otherwise; then all of it is done once more.
fn contradicted(make: Value, look: Value, end: Value) -> Vec<String> {
    let steps = json!([
        { "id": "group", "any_order": [make, look] },
        { "id": "end", "do": "Act.", "requires": end }
    ]);
    proved(json!({ "a": three(), "b": two() }), json!({}), json!({ "b": "v0" }), steps)
}

fn makes() -> Value {
    json!({ "id": "make", "do": "Act.", "leaves": { "a": "v1" } })
}

fn looks() -> Value {
    json!({ "id": "look", "confirm": { "a": "v0" }, "otherwise": "stop" })
}

fn with(mut step: Value, key: &str, value: Value) -> Value {
    step[key] = value;
    step
}

#[test]
fn an_item_that_was_contradicted_makes_it_so_again() {
    // Without a second time the yes of the look would be what stands at the end.
    assert_eq!(contradicted(looks(), makes(), json!({ "a": "v1" })), NOTHING);
    let kept = with(looks(), "leaves", json!({ "a": "v0" }));
    assert_eq!(contradicted(makes(), kept, json!({ "a": "v1" })), ["end needs a"], "both write it");
}

/// The second time the item needs what it needs, and finds what the first time left.
#[test]
fn an_item_offered_again_needs_all_that_it_needed() {
    let uses = |make: Value| with(with(make, "requires", json!({ "b": "v0" })), "disturbs", json!(["b"]));
    assert_eq!(contradicted(uses(makes()), looks(), json!({})), ["group/make needs b"]);
    let asks = with(makes(), "requires", json!({ "b": "v0" }));
    assert_eq!(contradicted(asks.clone(), looks(), json!({})), NOTHING);
    let found = json!({ "until": { "a": "v0" }, "limit": "30 s" });
    let found = json!({ "id": "look", "wait": found, "otherwise": "stop" });
    assert_eq!(contradicted(uses(makes()), found, json!({})), ["group/make needs b"]);
    let told = json!({ "id": "look", "confirm": { "a": "v1" }, "otherwise": "stop" });
    assert_eq!(contradicted(uses(makes()), told, json!({})), NOTHING, "as by the record");
}

/// Whether finding out contradicts the record depends on what each way left: the two do not meet before it.
#[test]
fn ways_on_which_something_else_was_left_stay_apart_before_it_is_found_out() {
    let make = json!({ "steps": [
        { "id": "which", "ask": "Which?", "answers": { "x": "one", "y": "two" } },
        { "id": "one", "do": "Act.", "leaves": { "a": "v1" }, "then": "last" },
        { "id": "two", "do": "Act.", "leaves": { "a": "v2" } },
        { "id": "last", "do": "Act.", "requires": { "b": "v0" }, "disturbs": ["b"] }
    ], "until": { "c": "v0" }, "at_most": 1 });
    let make = json!({ "id": "make", "repeat": make, "otherwise": "stop" });
    let look = |a: Value| {
        let until = json!({ "until": { "a": a }, "limit": "30 s" });
        json!({ "id": "look", "wait": until, "otherwise": "stop" })
    };
    let found = |a: Value| {
        let steps = json!([{ "id": "group", "any_order": [make, look(a)] }]);
        let conditions = json!({ "a": three(), "b": two(), "c": two() });
        proved(conditions, json!({}), json!({ "b": "v0" }), steps)
    };
    let again = ["group/make/last needs b"];
    assert_eq!(found(json!("v1")), again);
    assert_eq!(found(json!(["v1", "v2"])), NOTHING);
}

/// Every way ends: the same item is offered again once, and each of several.
#[test]
fn items_that_contradict_each_other_come_to_an_end() {
    let item = |id: &str, makes: &str, sees: &str| {
        json!({ "id": id, "repeat": { "at_most": 1, "steps": [
            { "id": format!("make-{makes}"), "do": "Act.", "leaves": { makes: "v1" } }
        ], "until": { sees: "v0" } }, "otherwise": "stop" })
    };
    let steps = json!([
        { "id": "group", "any_order": [item("one", "a", "b"), item("other", "b", "c"), item("third", "c", "a")] },
        { "id": "end", "do": "Act." }
    ]);
    let conditions = json!({ "a": two(), "b": two(), "c": two() });
    let rig = equipment(conditions.clone(), json!({}));
    let main = procedure("main", json!({}), json!({}), steps.clone());
    let library = library(&[&rig, &main]).expect("no findings");
    let machine = machine::compile(&library, &"main".into()).expect("it compiles");
    let ends = ends(&machine);
    assert!(ends.contains(&DONE) && !ends.iter().any(|&end| end != DONE && end != machine::STOP));
    assert_eq!(proved(conditions, json!({}), json!({}), steps), NOTHING);
    assert_eq!(verdict_on(rig, &[main]), NOTHING);
}

/// Where runs come to an end, each followed by itself; an item that went on being offered would keep them from it.
fn ends(machine: &Machine) -> BTreeSet<NodeId> {
    let (mut seen, mut open) = (BTreeSet::<AbstractState>::new(), vec![machine.start()]);
    let mut ends = BTreeSet::new();
    while let Some(state) = open.pop() {
        let next: Vec<_> = machine.open(state.place).flat_map(|at| machine.follow(&state, at)).collect();
        if next.is_empty() {
            ends.insert(state.place.node);
        }
        open.extend(next.into_iter().map(|next| next.state).filter(|next| seen.insert(next.clone())));
        assert!(seen.len() < 20_000, "there are few records");
    }
    ends
}
