//! Small cases of stopping and of going on after an interruption, with the verdict worked out by hand.

use super::directed::{NOTHING, hv, two, verdict_on};
use oracle::{equipment, procedure};
use serde_json::{Value, json};

fn rig(conditions: Value, rest: Value, mends: &[(&str, Value)]) -> Value {
    let mut rig = equipment(conditions, json!({}));
    if !rest.is_null() {
        rig["safe_state"] = rest;
    }
    for (name, mend) in mends {
        rig["actions"][name] = mend.clone();
        rig["actions"][name]["do"] = json!("Act.");
        rig["actions"][name]["restores"] = json!(true);
    }
    rig
}

fn main(requires: Value, steps: Value) -> Value {
    procedure("main", requires, json!({}), steps)
}

#[test]
fn who_is_told_nothing_new_still_sees_what_another_item_left() {
    // Between the two items nothing is shared; but while the other is under way the machine may stand open.
    let rig = rig(json!({ "a": two(), "b": two() }), json!({ "a": "v0" }), &[]);
    let steps = json!([
        { "id": "group", "any_order": [
            { "id": "one", "do": "Act.", "leaves": { "b": "v1" } }, { "id": "other", "do": "Act.", "leaves": { "a": "v1" } }
        ] },
        { "id": "back", "do": "Act.", "leaves": { "a": "v0" } }
    ]);
    let found = verdict_on(rig, &[main(json!({ "a": "v0", "b": "v0" }), steps)]);
    let stuck = |at: &str| format!("{at} cannot be stopped");
    let never = "no plan from anything".to_owned();
    assert_eq!(found, [stuck("back"), stuck("group choose"), stuck("group/one"), never]);
}

#[test]
fn a_plan_may_wait_and_may_not_pass_a_rule() {
    let conditions = json!({ "hv": hv(), "a": two() });
    let steps = json!([{ "id": "set", "do": "Act.", "leaves": { "hv": "present", "a": "v1" } }, { "id": "act", "do": "Act." }]);
    let start = json!({ "hv": "gone", "a": "v0" });
    let mend = || json!({ "leaves": { "a": "v0" }, "requires": { "hv": "gone" } });
    let waits = rig(conditions.clone(), json!({ "a": "v0" }), &[("mend", mend())]);
    assert_eq!(verdict_on(waits.clone(), &[main(start.clone(), steps.clone())]), NOTHING);
    let mut broken = waits;
    broken["never"] = json!({ "r": { "when": { "a": "v0", "hv": "gone" }, "hazard": "harm" } });
    let found = verdict_on(broken, &[main(json!({ "hv": "present", "a": "v1" }), steps)]);
    let stuck = ["act", "done", "set", "set in act 1"].map(|at| format!("{at} cannot be stopped"));
    assert_eq!(found, [&stuck[..], &["no plan from anything".to_owned()]].concat());
}

/// A condition that only an instrument shows.
fn unseen() -> Value {
    json!({ "values": ["v0", "v1"] })
}

#[test]
fn what_nobody_can_look_at_again_is_lost_while_it_is_relied_on() {
    let found = |a: Value, steps: Value| {
        verdict_on(rig(json!({ "a": a }), Value::Null, &[]), &[main(json!({ "a": "v0" }), steps)])
    };
    let steps = |last: Value| {
        let mut last = last;
        last["id"] = json!("last");
        json!([
            { "id": "set", "do": "Act.", "leaves": { "a": "v0" } }, { "id": "rest", "do": "Act." }, last
        ])
    };
    let act = || steps(json!({ "do": "Act.", "requires": { "a": "v0" } }));
    assert_eq!(found(unseen(), act()), ["last cannot be resumed for a", "rest cannot be resumed for a"]);
    assert_eq!(found(two(), act()), NOTHING, "it is looked at again");
    assert_eq!(found(json!({ "values": ["v0", "v1"], "keeps": true }), act()), NOTHING, "it stays as it was");
    let measure = json!({
        "measure": { "what": "it", "instrument": "gauge", "at_least": "1 V", "shows": { "a": "v0" } }, "otherwise": "stop"
    });
    assert_eq!(found(unseen(), steps(measure)), NOTHING, "it is found out");
    assert_eq!(
        found(unseen(), steps(json!({ "do": "Act.", "leaves": { "a": "v1" } }))),
        NOTHING,
        "it is written"
    );
}

#[test]
fn what_was_known_on_each_of_several_ways_is_lost_on_each() {
    // Where the ways meet either value was met; but whoever takes up knows only what they knew.
    let steps = json!([
        { "id": "which", "ask": "Which?", "answers": { "x": "low", "y": "high" } },
        { "id": "low", "do": "Act.", "leaves": { "a": "v0" }, "then": "rest" },
        { "id": "high", "do": "Act.", "leaves": { "a": "v1" } },
        { "id": "rest", "do": "Act." },
        { "id": "act", "do": "Act.", "requires": { "a": ["v0", "v1"] } }
    ]);
    let found = verdict_on(rig(json!({ "a": unseen() }), Value::Null, &[]), &[main(json!({}), steps)]);
    assert_eq!(found, ["act cannot be resumed for a", "rest cannot be resumed for a"]);
}

/// A condition of three values, of which the first may fall to the second.
fn three() -> Value {
    json!({
        "values": ["high", "low", "shut"], "ask": { "high": "High?", "low": "Low?", "shut": "Shut?" },
        "settles": { "from": "high", "to": "low", "after": "10 s" }
    })
}

#[test]
fn whoever_looks_at_three_values_tells_apart_what_cannot_fall_to_the_other() {
    // No act helps against `shut` and another one does against `high` and `low`: nobody knows which until they look.
    let conditions = json!({ "p": three(), "a": two() });
    let close = |needs: Value| json!({ "leaves": { "a": "v0" }, "requires": needs });
    let steps =
        json!([{ "id": "set", "do": "Act.", "leaves": { "a": "v1" } }, { "id": "act", "do": "Act." }]);
    let start = || json!({ "p": ["high", "low", "shut"], "a": "v0" });
    let both = [("mend", close(json!({ "p": ["high", "low"] }))), ("other", close(json!({ "p": "shut" })))];
    let found =
        verdict_on(rig(conditions.clone(), json!({ "a": "v0" }), &both), &[main(start(), steps.clone())]);
    assert_eq!(found, NOTHING);
    let found = verdict_on(rig(conditions, json!({ "a": "v0" }), &both[..1]), &[main(start(), steps)]);
    let stuck = ["act cannot be stopped", "done cannot be stopped", "no plan from anything"];
    assert_eq!(found, stuck, "nothing helps against `shut`");
}

#[test]
fn a_run_to_where_nothing_helps_ends_before_what_may_settle_has() {
    // Only while `p` is high is there no way, and not even waiting helps: an act needs what waiting takes away.
    let conditions = json!({ "p": three(), "a": two() });
    let mend = json!({ "leaves": { "a": "v0" }, "requires": { "p": "high" } });
    let rig = rig(conditions, json!({ "a": "v0" }), &[("mend", mend)]);
    let steps = json!([
        { "id": "set", "do": "Act.", "leaves": { "a": "v1", "p": "high" } }, { "id": "act", "do": "Act." }
    ]);
    let found = verdict_on(rig, &[main(json!({ "p": "shut", "a": "v0" }), steps)]);
    let stuck = ["act", "done", "set in act 1"].map(|at| format!("{at} cannot be stopped"));
    let all = [&stuck[..], &["no plan from anything".to_owned()]].concat();
    assert_eq!(found, all, "it may have fallen before the act, and is still shut in the middle of it");
}

#[test]
fn an_interruption_takes_only_what_open_items_and_the_rest_rely_on() {
    let found = |other: Value, end: Value| {
        let steps = json!([
            { "id": "group", "any_order": [
                { "id": "look", "confirm": { "a": "v0" }, "otherwise": "stop" }, { "id": "other", "do": "Act.", "leaves": other }
            ] },
            { "id": "end", "do": "Act.", "requires": end }
        ]);
        let rig = rig(json!({ "a": unseen(), "b": two() }), Value::Null, &[]);
        verdict_on(rig, &[main(json!({ "a": ["v0", "v1"], "b": "v0" }), steps)])
    };
    assert_eq!(found(json!({ "b": "v1" }), json!({})), NOTHING, "nothing relies on it");
    let at = |step: &str| format!("{step} cannot be resumed for a");
    // Once the look is done the other item writes it, so that it counts again only after both; before the look it is found out.
    let written = found(json!({ "a": "v0" }), json!({ "a": "v0" }));
    assert_eq!(written, [at("end"), at("group choose")]);
    let read = found(json!({ "b": "v1" }), json!({ "a": "v0" }));
    assert_eq!(read, [at("end"), at("group choose"), at("group/other")], "after the look");
}
