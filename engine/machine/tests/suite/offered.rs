//! An item of a block is offered again, once, where a look of another item contradicts what it alone writes.

use crate::{compiled, next, two, voltage};
use machine::{AbstractState, Machine, NodeKind, Place};
use serde_json::{Value, json};
use std::collections::BTreeSet;

fn three() -> Value {
    json!({ "values": ["v0", "v1", "v2"], "ask": "Is it v0?" })
}

/// A block of these items, then the end.
fn block(items: Value) -> Machine {
    let steps = json!([{ "id": "group", "any_order": items }, { "id": "end", "do": "Act." }]);
    compiled(json!({ "a": three(), "b": two() }), json!({}), steps)
}

fn step_at(machine: &Machine, path: &str) -> Place {
    let node = machine.nodes.iter().position(|node| node.path == path && node.kind != NodeKind::Enter);
    Place::at(machine::NodeId(node.expect("that step") as u32))
}

/// Where the outcomes of a step lead while these items are done and `a` is v1 by the record.
fn after(machine: &Machine, path: &str, items: u32, again: u32) -> Vec<String> {
    let place = Place { items, again, ..step_at(machine, path) };
    let mut state = AbstractState { place, ..machine.unknown(place) };
    let a = machine.layout.find("a").expect("it is there");
    state.bits.set_field(&machine.layout, a, 0b010);
    (0..machine.node(place.node).outcomes.len()).flat_map(|at| next(machine, &state, at)).collect()
}

fn looks() -> Value {
    json!({ "id": "look", "confirm": { "a": "v0" }, "otherwise": "end" })
}

#[test]
fn what_a_look_of_another_item_contradicts_is_offered_again_once() {
    let machine = block(json!([{ "id": "make", "do": "Act.", "leaves": { "a": "v1" } }, looks()]));
    let told = after(&machine, "group/look", 0b01, 0);
    assert_eq!(
        told,
        ["group+10 again 1: a=v0 b=v0|v1", "end: a=v1 b=v0|v1", "end: a=v0|v1|v2 b=v0|v1 opened a"],
        "a yes against the record; who leaves the block leaves it all"
    );
    assert_eq!(after(&machine, "group/look", 0b01, 0b01)[0], "group+11 again 1: a=v0 b=v0|v1", "once");
    assert_eq!(after(&machine, "group/look", 0, 0)[0], "group+10: a=v0 b=v0|v1", "it is open anyway");
    let choosing = machine.nodes.iter().position(|node| matches!(node.kind, NodeKind::AnyOrder { .. }));
    let place =
        Place { items: 0b10, again: 1, ..Place::at(machine::NodeId(choosing.expect("it chooses") as u32)) };
    assert_eq!(machine.open(place).collect::<Vec<_>>(), [0], "the block ends when it is done again");
    let state = AbstractState { place, ..machine.unknown(place) };
    assert_eq!(next(&machine, &state, 0), ["group/make+10 again 1: a=v0|v1|v2 b=v0|v1"]);
}

#[test]
fn every_look_counts_and_only_a_look() {
    let of = |item: Value| {
        let machine = block(json!([{ "id": "make", "do": "Act.", "leaves": { "a": "v1" } }, item]));
        let told = after(&machine, "group/look", 0b01, 0);
        told.into_iter().map(|line| line.split_once(':').expect("a place").0.to_owned()).collect::<Vec<_>>()
    };
    let until = json!({ "until": { "a": "v0" }, "limit": "30 s" });
    let found = of(json!({ "id": "look", "wait": until, "otherwise": "end" }));
    assert_eq!(found[0], "group+10 again 1");
    let measure = json!({ "what": "it", "instrument": "gauge", "at_least": "1 V", "shows": { "a": "v0" } });
    assert_eq!(of(json!({ "id": "look", "measure": measure, "otherwise": "end" }))[0], "group+10 again 1");
    let rounds =
        json!({ "steps": [{ "id": "try", "do": "Act." }], "until": { "a": ["v0", "v1"] }, "at_most": 2 });
    let machine = block(json!([
        { "id": "make", "do": "Act.", "leaves": { "a": "v1" } }, { "id": "look", "repeat": rounds, "otherwise": "end" }
    ]));
    assert_eq!(after(&machine, "group/look", 0b01, 0)[1], "group/look/try again 1: a=v2 b=v0|v1");
    let untold = &after(&machine, "group/look", 0b01, 0)[2];
    assert_eq!(untold, "group/look/try+1: a=v0|v1|v2 b=v0|v1 opened a", "nobody can tell: that says nothing");
    let act = of(json!({ "id": "look", "do": "Act.", "disturbs": ["b"] }));
    assert_eq!(act, ["group+11"]);
}

#[test]
fn an_item_owns_what_no_other_writes() {
    let again = |make: Value, other: Value, group: Value| {
        let mut items = vec![make, looks()];
        items.extend(other.as_array().into_iter().flatten().cloned());
        let mut steps = json!([{ "id": "group", "any_order": items }, { "id": "end", "do": "Act." }]);
        for (key, value) in group.as_object().expect("a map") {
            steps[0][key] = value.clone();
        }
        let machine = compiled(json!({ "a": three(), "b": two() }), json!({}), steps);
        after(&machine, "group/look", 0b01, 0)[0].contains("again")
    };
    let none = || json!({});
    let makes = || json!({ "id": "make", "do": "Act.", "leaves": { "a": "v1" } });
    assert!(again(makes(), json!([]), none()));
    assert!(again(json!({ "id": "make", "do": "Act.", "disturbs": ["a"] }), json!([]), none()), "opened");
    let waits = json!({ "id": "make", "wait": { "for": "5 s" }, "leaves": { "a": "v1" } });
    assert!(again(waits, json!([]), none()), "what a wait leaves");
    let reads = json!({ "id": "make", "confirm": { "a": "v1" }, "otherwise": "end" });
    assert!(!again(reads, json!([]), none()), "a look makes nothing");
    let other = json!([{ "id": "other", "do": "Act.", "disturbs": ["a"] }]);
    assert!(!again(makes(), other, none()), "nobody knows whose it is");
    assert!(!again(makes(), json!([]), json!({ "leaves": { "a": "v1" } })), "the block itself");
    let own = json!([
        { "id": "make", "repeat": { "steps": [{ "id": "act", "do": "Act.", "leaves": { "a": "v1" } }], "until": { "a": "v0" },
          "at_most": 2 }, "otherwise": "end" },
        { "id": "look", "do": "Act." }
    ]);
    let told = after(&block(own), "group/make", 0b10, 0);
    assert_eq!(told[0], "group+11: a=v0 b=v0|v1", "its own look offers nothing");
}

/// The names of what is relied on while a block of these items chooses, with these done and these offered again.
fn relied(items: &Value, end: Value, done: u32, again: u32) -> String {
    let mut hv = voltage();
    hv["settles"]["while"] = json!({ "d": "v0" });
    let conditions = json!({ "a": three(), "b": two(), "c": two(), "d": two(), "hv": hv });
    let steps =
        json!([{ "id": "group", "any_order": items }, { "id": "end", "do": "Act.", "requires": end }]);
    let machine = compiled(conditions, json!({}), steps);
    let choosing = machine.nodes.iter().position(|node| matches!(node.kind, NodeKind::AnyOrder { .. }));
    let node = machine::NodeId(choosing.expect("it chooses") as u32);
    let place = Place { items: done, again, ..Place::at(node) };
    let reliance = machine.reliance();
    let on = machine.layout.ids().filter(|&var| reliance.relies(place, var, &BTreeSet::new()));
    on.map(|var| machine.layout.var(var).name.to_string()).collect::<Vec<_>>().join(" ")
}

#[test]
fn what_an_item_reads_is_relied_on_while_a_look_may_offer_it_again() {
    let makes = json!({ "id": "make", "do": "Act.", "requires": { "b": "v0" }, "leaves": { "a": "v1" } });
    let items = json!([makes, looks(), { "id": "other", "do": "Act." }]);
    let at = |done, again| relied(&items, json!({}), done, again);
    assert_eq!(at(0b000, 0), "b", "it is open");
    assert_eq!(at(0b001, 0), "b", "the look may say otherwise");
    assert_eq!(at(0b101, 0), "b");
    assert_eq!(at(0b001, 1), "", "it was offered again already");
    assert_eq!(at(0b011, 0), "", "nobody looks any more");
    let written = json!([makes, { "id": "look", "confirm": { "a": "v0" }, "otherwise": "end", "leaves": { "b": "v0" } }]);
    assert_eq!(relied(&written, json!({}), 0b01, 0), "", "the item that looks writes it");
    // The second offers the first again, and the third the second.
    let looks_at = |var: &str| json!({ "steps": [{ "id": "try", "do": "Act.", "disturbs": ["c"] }], "until": { var: "v0" }, "at_most": 1 });
    let chain = json!([
        makes, { "id": "second", "repeat": looks_at("a"), "otherwise": "end" },
        { "id": "third", "confirm": { "c": "v0" }, "otherwise": "end" }
    ]);
    assert_eq!(relied(&chain, json!({}), 0b011, 0), "b");
    assert_eq!(relied(&chain, json!({}), 0b011, 0b010), "", "the second does not come back");
}

#[test]
fn what_time_counts_under_is_relied_on_where_a_look_brings_back_what_the_time_is_for() {
    let gone = || json!({ "hv": "gone" });
    let uses = json!({ "id": "make", "do": "Act.", "requires": gone(), "leaves": { "a": "v1" } });
    let pass = json!({ "id": "pass", "wait": { "for": "10 s" } });
    let at = |items: Value, end: Value, done, again| relied(&items, end, done, again);
    let items = || json!([uses, looks(), pass]);
    assert_eq!(at(items(), json!({}), 0b001, 0), "d hv", "the wait, the look, the item");
    assert_eq!(at(items(), json!({}), 0b001, 1), "");
    assert_eq!(at(items(), json!({}), 0b101, 0), "hv", "the wait is over");
    assert_eq!(at(items(), json!({}), 0b011, 0), "");
    assert_eq!(at(items(), gone(), 0b011, 0), "d hv", "what comes after the block");
    // The wait and the look in one item, and the wait in the item that comes back.
    let both = json!([uses, { "id": "look", "wait": { "until": { "a": "v0" }, "limit": "30 s", "for": "10 s" }, "otherwise": "end" }]);
    assert_eq!(at(both, json!({}), 0b01, 0), "d hv");
    let back = json!([{ "id": "make", "wait": { "for": "10 s" }, "leaves": { "a": "v1" } }, looks()]);
    assert_eq!(at(back.clone(), gone(), 0b01, 0), "d hv");
    assert_eq!(at(back.clone(), gone(), 0b01, 1), "hv");
    assert_eq!(at(back, gone(), 0b11, 0), "hv");
}
