//! Small cases of stopping and of going on after an interruption, with the verdict worked out by hand.

use super::directed::{NOTHING, two, verdict_on};
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
    assert_eq!(found, [stuck("back"), stuck("group"), stuck("group/one")]);
}

#[test]
fn a_plan_may_wait_and_may_not_pass_a_rule() {
    let hv = json!({ "values": ["gone", "present"], "settles": { "from": "present", "to": "gone", "after": "10 s" } });
    let conditions = json!({ "hv": hv, "a": two() });
    let steps = json!([{ "id": "set", "do": "Act.", "leaves": { "hv": "present", "a": "v1" } }, { "id": "act", "do": "Act." }]);
    let start = json!({ "hv": "gone", "a": "v0" });
    let mend = || json!({ "leaves": { "a": "v0" }, "requires": { "hv": "gone" } });
    let waits = rig(conditions.clone(), json!({ "a": "v0" }), &[("mend", mend())]);
    assert_eq!(verdict_on(waits.clone(), &[main(start.clone(), steps.clone())]), NOTHING);
    let mut broken = waits;
    broken["never"] = json!({ "r": { "when": { "a": "v0", "hv": "gone" }, "hazard": "harm" } });
    let found = verdict_on(broken, &[main(json!({ "hv": "present", "a": "v1" }), steps)]);
    assert_eq!(found, ["act cannot be stopped", "set cannot be stopped"]);
}

#[test]
fn what_lapses_unseen_matters_unless_every_value_was_met_there() {
    let lapsing = |ask: bool| {
        let mut a = two();
        a["lapses"] = json!("15 min");
        if ask {
            a["ask"] = json!("Which?");
        }
        rig(json!({ "a": a, "b": two() }), Value::Null, &[])
    };
    let steps = |set: Value| {
        json!([
            { "id": "set", "do": "Act.", "leaves": set },
            { "id": "rest", "do": "Act." },
            { "id": "look", "confirm": { "a": "v0" }, "otherwise": "stop" }
        ])
    };
    let start = || json!({ "a": "v0", "b": "v0" });
    let found = |ask, set| verdict_on(lapsing(ask), &[main(start(), steps(set))]);
    let both = ["look cannot be resumed for a", "rest cannot be resumed for a"];
    assert_eq!(found(false, json!({ "a": "v0" })), both);
    assert_eq!(found(true, json!({ "a": "v0" })), NOTHING, "it is asked again");
    assert_eq!(found(false, json!({ "a": ["v0", "v1"] })), NOTHING, "either value was met there");
}

#[test]
fn an_interruption_takes_apart_what_was_decided_together() {
    let mut a = two();
    a["lapses"] = json!("15 min");
    let rig = rig(json!({ "a": a, "b": two() }), Value::Null, &[]);
    let steps = json!([
        { "id": "which", "ask": "Which?", "answers": { "x": "low", "y": "high" } },
        { "id": "low", "do": "Act.", "leaves": { "a": "v0", "b": "v0" }, "then": "look" },
        { "id": "high", "do": "Act.", "leaves": { "a": "v1", "b": "v1" } },
        { "id": "look", "confirm": { "a": "v0" }, "otherwise": "stop" },
        { "id": "act", "do": "Act.", "requires": { "b": "v0" } }
    ]);
    let found = verdict_on(rig, &[main(json!({ "a": "v0", "b": "v0" }), steps)]);
    assert_eq!(found, ["look cannot be resumed for a"], "each value was met, but not with the other's `b`");
}

/// A condition of three values, of which the first may fall to the second.
fn three() -> Value {
    json!({ "values": ["high", "low", "shut"], "ask": { "high": "High?", "low": "Low?", "shut": "Shut?" }, "settles": { "from": "high", "to": "low", "after": "10 s" } })
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
    assert_eq!(found, ["act cannot be stopped"], "nothing helps against `shut`");
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
    assert_eq!(found, ["act cannot be stopped"], "it may have fallen before the act");
}

#[test]
fn a_lapse_matters_only_while_an_item_that_reads_it_is_open() {
    let mut a = two();
    a["lapses"] = json!("15 min");
    let rig = || rig(json!({ "a": a.clone(), "b": two() }), Value::Null, &[]);
    let found = |other: Value, end: Value| {
        let steps = json!([
            { "id": "group", "any_order": [
                { "id": "look", "confirm": { "a": "v0" }, "otherwise": "stop" }, { "id": "other", "do": "Act.", "leaves": other }
            ] },
            { "id": "end", "do": "Act.", "requires": end }
        ]);
        verdict_on(rig(), &[main(json!({ "a": ["v0", "v1"], "b": "v0" }), steps)])
    };
    assert_eq!(
        found(json!({ "b": "v1" }), json!({})),
        NOTHING,
        "before the look either value was met, after it none counts"
    );
    let at = |step: &str| format!("{step} cannot be resumed for a");
    // Once the look is done the other item writes it, so that it counts again only after both.
    let written = found(json!({ "a": "v0" }), json!({ "a": "v0" }));
    assert_eq!(written, [at("end"), at("group"), at("group/look")]);
    let read = found(json!({ "b": "v1" }), json!({ "a": "v0" }));
    assert_eq!(read, [at("end"), at("group"), at("group/other")], "after the look only one value was met");
}
