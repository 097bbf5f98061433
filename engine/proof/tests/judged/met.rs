//! What random procedures met, made small: seldom enough to need cases of their own.

use super::compare::Compared;
use oracle::library;
use serde_json::{Value, json};

fn procedure(name: &str, rest: Value) -> Value {
    let mut whole = json!({
        "procedure": name, "title": "A procedure", "equipment": "rig", "revision": 1, "purpose": "Work.", "scope": "The rig.",
        "performers": { "technician": 1 }, "time": "5 min", "level_of_use": "continuous", "tools": "none",
        "supplies": "none", "spares": "none", "wear": "none",
    });
    let Value::Object(fields) = rest else { panic!("a map") };
    whole.as_object_mut().expect("a map").extend(fields);
    whole
}

fn rig(rest: Value) -> Value {
    let mut whole = json!({
        "equipment": "rig", "title": "A rig", "revision": 1, "roles": { "technician": "Works on the rig." },
        "hazards": { "harm": {
            "worst": "minor", "certainty": "could", "hazard": "Harm", "consequence": "Harm comes.", "avoid": "Keep off."
        } },
        "instruments": { "gauge": { "unit": "V", "resolution": "0.1 V" } },
    });
    let Value::Object(fields) = rest else { panic!("a map") };
    whole.as_object_mut().expect("a map").extend(fields);
    whole
}

/// Judge and proof say the same of `main`, and find a fault.
fn judged_alike(documents: &[&Value]) {
    let library = library(documents).expect("documents that the reader takes");
    let mut compared = Compared::default();
    compared.one(&library, "main").unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(compared.faulty, 1);
}

/// A run goes on from a need that is not surely met as if it were, so that an item tells the others something of what is
/// relied on.
#[test]
fn what_one_item_needs_tells_another_what_is_so() {
    let step = |id: &str| json!({ "id": id, "hold": { "released_by": "technician", "check": "Check it." } });
    let rig = rig(json!({
        "conditions": { "c1": { "values": ["v0", "v1"] } }, "work": { "far": { "requires": { "c1": "v1" } } },
    }));
    let mut far = step("s1");
    far["work"] = json!("far");
    let inner = procedure("inner", json!({ "steps": [far] }));
    let block = json!([step("s5"), { "id": "s6", "perform": "inner" }]);
    let main =
        procedure("main", json!({ "leaves": { "c1": "v0" }, "steps": [{ "id": "s2", "any_order": block }] }));
    judged_alike(&[&rig, &inner, &main]);
}

/// A run goes on from an act that may break a rule as if it had not: that, too, tells of what is relied on in another item.
#[test]
fn what_one_item_may_break_tells_another_what_is_so() {
    let rig = rig(json!({
        "conditions": {
            "c0": { "values": ["v0", "v1"], "lost_when": { "c3": "v0", "c2": "v1" }, "ask": "Which is it?" },
            "c1": { "values": ["v0", "v1"] },
            "c2": { "values": ["v0", "v1"], "ask": "Which is it?" },
            "c3": { "values": ["v0", "v1"] },
        },
        "never": { "r1": { "when": { "c0": "v1", "c1": "v1" }, "hazard": "harm" } },
        "actions": { "act": { "do": "Act.", "leaves": { "c2": "v1" } } },
    }));
    let reading = json!({
        "id": "s6", "measure": { "what": "the voltage", "instrument": "gauge", "at_least": "1 V" }, "otherwise": "stop",
    });
    let block = json!([reading, { "id": "s7", "action": "act" }]);
    let main =
        procedure("main", json!({ "steps": [{ "id": "s2", "any_order": block, "disturbs": ["c3"] }] }));
    judged_alike(&[&rig, &main]);
}

/// A reading that shows nothing is a look all the same: with it is over what was found broken and can no longer hold.
#[test]
fn a_reading_that_shows_nothing_ends_what_can_no_longer_hold() {
    let rig = rig(json!({
        "conditions": { "c0": { "values": ["v0", "v1", "v2"], "ask": { "v1": "Is it this?", "v2": "Is it this?" } } },
        "never": { "r0": { "when": { "c0": "v1" }, "hazard": "harm" } },
    }));
    let read = |id: &str, otherwise: &str| {
        let measure = json!({ "what": "the voltage", "instrument": "gauge", "at_least": "1 V" });
        json!({ "id": id, "measure": measure, "otherwise": otherwise })
    };
    let mut last = read("s6", "stop");
    last["requires"] = json!({ "c0": "v2" });
    let confirm = json!({ "id": "s3", "confirm": { "c0": "v0" }, "otherwise": "s2" });
    judged_alike(&[&rig, &procedure("main", json!({ "steps": [read("s2", "s6"), confirm, last] }))]);
}

/// A plan that waits, and then has no way for what the wait took, does not serve a record in which only a look counts.
#[test]
fn a_plan_serves_only_what_it_has_a_way_for() {
    let rig = rig(json!({
        "conditions": {
            "c0": { "values": ["v0", "v1", "v2"], "settles": { "from": "v2", "to": "v0", "after": "10 s" }, "ask": {} },
            "c1": { "values": ["v0", "v1"], "settles": { "from": "v0", "to": "v1", "after": "10 s", "while": { "c0": "v1" } } },
        },
        "work": { "near": { "requires": { "c0": "v0" } } },
        "actions": { "mend": { "do": "Act.", "leaves": { "c1": "v1" }, "work": "near", "restores": true } },
        "safe_state": { "c1": "v1" },
    }));
    let look =
        |id: &str, otherwise: &str| json!({ "id": id, "confirm": { "c0": "v1" }, "otherwise": otherwise });
    let inner = procedure("inner", json!({ "steps": [look("s2", "done")] }));
    let main =
        procedure("main", json!({ "steps": [{ "id": "s3", "perform": "inner" }, look("s7", "stop")] }));
    judged_alike(&[&rig, &inner, &main]);
}

/// Where ending one rule leaves open whether another is broken, and ending that one the first, the search for a plan ends.
#[test]
fn what_ends_one_rule_and_may_find_another_broken_is_not_done_for_ever() {
    let rig = rig(json!({
        "conditions": {
            "c0": { "values": ["v0", "v1"] }, "c1": { "values": ["v0", "v1", "v2"], "ask": {} },
            "c2": { "values": ["v0", "v1"], "ask": "Which is it?" },
        },
        "never": {
            "r1": { "when": { "c1": "v2", "c2": "v0" }, "hazard": "harm" },
            "r2": { "when": { "c0": "v0", "c1": "v0" }, "hazard": "harm" },
        },
        "actions": {
            "mend0": { "do": "Act.", "leaves": { "c0": "v1" }, "restores": true },
            "mend1": { "do": "Act.", "leaves": { "c1": "v1" }, "restores": true },
        },
        "safe_state": {},
    }));
    let measure =
        json!({ "what": "the voltage", "instrument": "gauge", "at_least": "1 V", "shows": { "c1": "v2" } });
    let step = json!({ "id": "s5", "measure": measure, "otherwise": "done" });
    let repeat = json!({ "until": { "c1": "v0", "c2": "v0" }, "at_most": 2, "steps": [step] });
    let main = procedure("main", json!({ "steps": [{ "id": "s4", "repeat": repeat, "otherwise": "done" }] }));
    judged_alike(&[&rig, &main]);
}

/// Of what a look contradicted only a look counts from then on, also once it was written anew: waiting tells nothing.
#[test]
fn that_only_a_look_counts_outlives_that_it_is_written_anew() {
    let rig = rig(json!({
        "conditions": {
            "c0": { "values": ["v0", "v1"], "ask": "Which is it?", "settles": { "from": "v1", "to": "v0", "after": "10 s" } },
        },
    }));
    let step = |id: &str| json!({ "id": id, "do": "Act." });
    let mut act = step("s2");
    act["leaves"] = json!({ "c0": "v0" });
    let ask = json!({ "id": "s3", "ask": "Which is it?", "answers": { "a1": { "shows": { "c0": "v1" }, "then": "s4" }, "a2": "s6" } });
    let anew = json!({ "id": "s5", "perform": "inner", "leaves": { "c0": "v1" } });
    let inner = procedure("inner", json!({ "steps": [step("s7")] }));
    let wait = json!({ "id": "s6", "wait": { "for": "10 s" } });
    let steps = json!([act, ask, step("s4"), anew, wait]);
    judged_alike(&[&rig, &inner, &procedure("main", json!({ "leaves": { "c0": "v0" }, "steps": steps }))]);
}

/// A rule that was found broken and can no longer hold is over for a plan, whatever the plan then opens.
#[test]
fn what_can_no_longer_hold_is_over_where_work_stops() {
    let rig = rig(json!({
        "conditions": {
            "c0": { "values": ["v0", "v1"] },
            "c1": { "values": ["v0", "v1"] },
            "c2": { "values": ["v0", "v1"], "lost_when": { "c0": "v1", "c1": "v1" } },
        },
        "never": { "r0": { "when": { "c2": "v1" }, "hazard": "harm" } },
        "actions": { "mend0": { "do": "Act.", "leaves": { "c0": "v0" }, "requires": { "c0": "v1" }, "restores": true } },
        "safe_state": { "c0": "v0" },
    }));
    let step = |id: &str| json!({ "id": id, "do": "Act." });
    let look = json!({ "id": "s3", "confirm": { "c2": "v0", "c0": "v0" }, "otherwise": "s4" });
    let block = json!([step("s7"), step("s8")]);
    let block = json!({ "id": "s4", "any_order": block, "requires": { "c1": "v1", "c2": "v0" } });
    judged_alike(&[&rig, &procedure("main", json!({ "steps": [look, block] }))]);
}

/// What a condition is waited under may be waited for under the condition itself: then it is relied on too.
#[test]
fn what_is_waited_under_may_rest_on_what_is_waited_for() {
    let rig = rig(json!({
        "conditions": {
            "c0": { "values": ["v0", "v1"] },
            "c1": { "values": ["v1", "v2"], "settles": { "from": "v2", "to": "v1", "after": "10 s", "while": { "c2": "v2" } } },
            "c2": {
                "values": ["v0", "v1", "v2"], "settles": { "from": "v0", "to": "v2", "after": "10 s" },
                "lost_when": [{ "c0": "v1", "c1": "v1" }], "normal": "v1",
            },
        },
    }));
    let shows = |value: &str, then: &str| json!({ "shows": { "c0": value }, "then": then });
    let steps = json!([
        { "id": "s11", "ask": "Which is it?", "answers": { "a0": shows("v0", "s10"), "a1": shows("v1", "s10") } },
        { "id": "s10", "ask": "Which is it?", "answers": { "a1": shows("v1", "stop"), "a2": "s5" } },
    ]);
    let rounds = json!({ "until": { "c0": ["v0"] }, "at_most": 1, "steps": steps });
    let block = json!([
        { "id": "s8", "do": "Act.", "leaves": { "c0": "v0" } },
        { "id": "s12", "repeat": rounds, "otherwise": "stop" },
    ]);
    let steps = json!([
        { "id": "s3", "any_order": block },
        { "id": "s5", "wait": { "for": "6 s" } },
        { "id": "s7", "wait": { "for": "10 s" } },
    ]);
    judged_alike(&[&rig, &procedure("main", json!({ "steps": steps }))]);
}

/// A wait counts under what a later wait is waited for under: in a block, and from round to round of one of its items.
#[test]
fn what_one_wait_counts_under_is_waited_for_under_another() {
    let settles = |under: Value| {
        json!({
            "values": ["v0", "v1"], "settles": { "from": "v0", "to": "v1", "after": "10 s", "while": under }
        })
    };
    let rig = rig(json!({ "conditions": {
        "c1": { "values": ["v0", "v2"] }, "c2": settles(json!({ "c1": "v0" })), "c3": settles(json!({ "c2": "v1" })),
    } }));
    let wait = |id: &str| json!({ "id": id, "wait": { "for": "6 s" } });
    let rounds = json!({
        "id": "rounds", "repeat": { "until": { "c1": "v0" }, "at_most": 2, "steps": [wait("pause")] }, "otherwise": "stop"
    });
    let write = json!({ "id": "write", "do": "Act.", "leaves": { "c1": "v2" } });
    for items in [json!([write, rounds]), json!([write, wait("one"), wait("other")])] {
        let main = json!({ "leaves": { "c3": "v0" }, "steps": [{ "id": "all", "any_order": items }] });
        judged_alike(&[&rig, &procedure("main", main)]);
    }
}

/// A run goes on from a need that is not met with what does not last, and a plan from there is none from less.
#[test]
fn what_is_known_and_does_not_last_has_plans_of_its_own() {
    let settles = |from: &str| json!({ "from": from, "to": "v0", "after": "10 s" });
    let rig = rig(json!({
        "conditions": {
            "c0": { "values": ["v0", "v1"], "lost_when": [{ "c2": "v0" }] },
            "c1": { "values": ["v0", "v1"], "settles": settles("v1"), "lost_when": { "c0": "v1" } },
            "c2": {
                "values": ["v0", "v1", "v2"], "settles": settles("v2"), "lost_when": { "c1": "v0" }, "ask": {},
            },
        },
        "safe_state": { "c1": "v0" },
    }));
    let look =
        json!({ "id": "s4", "confirm": { "c2": ["v1"] }, "otherwise": "s4", "requires": { "c2": "v1" } });
    let round = json!({ "until": { "c0": "v1" }, "at_most": 1, "steps": [look] });
    let inner =
        procedure("inner", json!({ "steps": [{ "id": "s2", "repeat": round, "otherwise": "done" }] }));
    let reading = json!({
        "id": "s7", "measure": { "what": "the voltage", "instrument": "gauge", "at_least": "1 V" },
        "otherwise": "stop", "requires": { "c0": "v0" },
    });
    let block = json!([{ "id": "s10", "do": "Act." }, { "id": "s12", "perform": "inner" }]);
    let main = procedure("main", json!({ "steps": [{ "id": "s6", "any_order": block }, reading] }));
    judged_alike(&[&rig, &inner, &main]);
}
