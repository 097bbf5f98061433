//! Small cases of steps in any order, of rounds and of performed procedures, with the verdict worked out by hand.

use super::directed::{NOTHING, hv, proved, rule, two, verdict};
use oracle::{equipment, library, procedure};
use serde_json::{Value, json};

fn start() -> Value {
    json!({ "a": "v0", "b": "v0" })
}

fn group(items: Value, after: Value) -> Value {
    json!([{ "id": "group", "any_order": items }, after])
}

#[test]
fn who_leaves_a_group_sees_the_others_half_done() {
    let steps = |needs: Value| {
        json!([
            { "id": "group", "any_order": [
                { "id": "one", "do": "Act.", "leaves": { "a": "v1" } },
                { "id": "other", "ask": "Go on?", "answers": { "yes": "end", "no": "out" } }
            ] },
            { "id": "end", "do": "Act.", "then": "done" },
            { "id": "out", "do": "Act.", "requires": needs }
        ])
    };
    let found = |needs| proved(json!({ "a": two(), "b": two() }), json!({}), start(), steps(needs));
    assert_eq!(found(json!({ "a": "v0" })), ["out needs a"], "the one may be done");
    assert_eq!(found(json!({ "a": "v1" })), ["out needs a"], "or not yet");
    assert_eq!(found(json!({ "a": ["v0", "v1"] })), NOTHING);
}

#[test]
fn items_break_rules_together_whoever_comes_second() {
    let items = || {
        json!([
            { "id": "one", "do": "Act.", "leaves": { "a": "v1" } },
            { "id": "other", "do": "Act.", "leaves": { "b": "v1" } }
        ])
    };
    let found = |when: Value, items: Value| {
        let steps = group(items, json!({ "id": "after", "do": "Act." }));
        proved(json!({ "a": two(), "b": two() }), rule(when), start(), steps)
    };
    let both = || json!({ "a": "v1", "b": "v1" });
    assert_eq!(found(both(), items()), ["group/one breaks r", "group/other breaks r"]);
    assert_eq!(found(json!({ "a": "v1", "b": "v0" }), items()), ["group/one breaks r"], "if it is the first");
    // A check of an item refines what another then breaks.
    let checked = json!([
        { "id": "one", "confirm": { "b": "v0" }, "otherwise": "stop", "leaves": { "a": "v1" } },
        { "id": "other", "do": "Act." }
    ]);
    assert_eq!(found(both(), checked), NOTHING);
}

#[test]
fn an_item_that_nobody_gets_through_hides_no_other() {
    let items = json!([
        { "id": "one", "do": "Act.", "requires": { "a": "v1" } },
        { "id": "other", "do": "Act.", "requires": { "a": "v1", "b": "v1" } }
    ]);
    let steps = group(items, json!({ "id": "after", "do": "Act.", "requires": { "b": "v1" } }));
    let found = proved(json!({ "a": two(), "b": two() }), json!({}), start(), steps);
    assert_eq!(found, ["group/one needs a", "group/other needs a", "group/other needs b"]);
    let items = json!([
        { "id": "one", "do": "Act.", "leaves": { "a": "v1" } },
        { "id": "other", "do": "Act.", "requires": { "b": "v1" } }
    ]);
    let steps = group(items, json!({ "id": "after", "do": "Act." }));
    let found = proved(json!({ "a": two(), "b": two() }), rule(json!({ "a": "v1" })), start(), steps);
    assert_eq!(found, ["group/other needs b", "group/one breaks r"]);
}

#[test]
fn items_that_check_the_same_unknown_agree() {
    let items = json!([
        { "id": "one", "confirm": { "a": "v0" }, "otherwise": "stop", "leaves": { "b": "v0" } },
        { "id": "other", "do": "Act.", "requires": { "a": "v0" } }
    ]);
    let steps = group(items, json!({ "id": "after", "do": "Act.", "requires": { "a": "v0" } }));
    let found = proved(json!({ "a": two(), "b": two() }), json!({}), json!({ "b": "v0" }), steps);
    assert_eq!(found, ["group/other needs a"], "only before the other has looked");
}

#[test]
fn items_that_check_what_settles_are_followed_in_every_order() {
    let items = json!([
        { "id": "one", "confirm": { "hv": "gone" }, "otherwise": "stop" },
        { "id": "other", "do": "Act.", "requires": { "hv": "present" } }
    ]);
    let steps = group(items, json!({ "id": "after", "do": "Act.", "requires": { "b": "v1" } }));
    let requires = json!({ "hv": ["gone", "present"], "b": "v0" });
    let found = proved(json!({ "hv": hv(), "b": two() }), json!({}), requires, steps);
    assert_eq!(
        found,
        ["after needs b", "group/other needs hv"],
        "present at first, and gone when it is looked at"
    );
}

#[test]
fn waits_of_a_group_are_one_after_the_other() {
    let found = |first: Value| {
        let items = json!([{ "id": "one", "wait": { "for": "5 s" } }, first]);
        let steps = json!([
            { "id": "set", "do": "Act.", "leaves": { "hv": "present" } },
            { "id": "group", "any_order": items },
            { "id": "act", "do": "Act.", "requires": { "hv": "gone" } }
        ]);
        proved(json!({ "hv": hv() }), json!({}), json!({ "hv": "gone" }), steps)
    };
    assert_eq!(found(json!({ "id": "other", "wait": { "for": "5 s" } })), NOTHING);
    assert_eq!(
        found(json!({ "id": "other", "wait": { "for": "5 s" }, "leaves": { "hv": "present" } })),
        ["act needs hv"]
    );
}

#[test]
fn a_group_begins_anew_when_it_is_met_again() {
    let steps = json!([
        { "id": "group", "any_order": [
            { "id": "one", "do": "Act.", "leaves": { "a": "v1" } }, { "id": "other", "do": "Act.", "leaves": { "b": "v1" } }
        ] },
        { "id": "which", "ask": "Again?", "answers": { "yes": "undo", "no": "done" } },
        { "id": "undo", "do": "Act.", "leaves": { "a": "v0" }, "then": "group" }
    ]);
    let main = procedure("main", start(), json!({ "a": "v1" }), steps);
    assert_eq!(verdict(json!({ "a": two(), "b": two() }), json!({}), &[main]), NOTHING);
}

#[test]
fn every_round_and_the_way_out_of_the_last_are_followed() {
    let steps = |needs: &str, otherwise: &str| {
        json!([
            { "id": "rounds", "otherwise": otherwise, "repeat": { "until": { "a": "v1" }, "at_most": 2, "steps": [
                { "id": "try", "do": "Act.", "requires": { "b": needs }, "disturbs": ["a"] },
                { "id": "then", "do": "Act.", "leaves": { "b": "v1" } }
            ] } },
            { "id": "act", "do": "Act.", "requires": { "a": "v1" } }
        ])
    };
    let found = |needs, otherwise| {
        proved(json!({ "a": two(), "b": two() }), json!({}), start(), steps(needs, otherwise))
    };
    assert_eq!(found("v0", "stop"), ["rounds/try needs b"], "in the second round");
    assert_eq!(found("v1", "act"), ["rounds/try needs b"], "in the first; then nothing goes on");
    let both = json!([
        { "id": "rounds", "otherwise": "act", "repeat": { "until": { "a": "v1" }, "at_most": 2, "steps": [
            { "id": "try", "do": "Act.", "disturbs": ["a"] }
        ] } },
        { "id": "act", "do": "Act.", "requires": { "a": "v1" } }
    ]);
    assert_eq!(proved(json!({ "a": two(), "b": two() }), json!({}), start(), both), ["act needs a"]);
}

#[test]
fn a_performed_procedure_asks_and_leaves_like_a_step() {
    let inner = procedure(
        "inner",
        json!({ "a": "v1" }),
        json!({}),
        json!([
            { "id": "in", "do": "Act.", "leaves": { "b": "v1" }, "then": "done" }
        ]),
    );
    let main = |requires: Value| {
        procedure(
            "main",
            requires,
            json!({ "b": "v0" }),
            json!([{ "id": "do", "perform": "inner", "leaves": { "a": "v0" } }]),
        )
    };
    let found =
        |requires| verdict(json!({ "a": two(), "b": two() }), json!({}), &[inner.clone(), main(requires)]);
    assert_eq!(found(json!({ "a": "v1" })), ["b promised"]);
    assert_eq!(found(json!({ "a": ["v0", "v1"] })), ["do needs a", "b promised"]);
}

#[test]
fn a_group_inside_a_performed_procedure_is_refused_inside_a_group() {
    let pair = json!([{ "id": "x", "do": "Act." }, { "id": "y", "do": "Act." }]);
    let group = procedure("group", json!({}), json!({}), json!([{ "id": "pair", "any_order": pair }]));
    let between = procedure("between", json!({}), json!({}), json!([{ "id": "in", "perform": "group" }]));
    let items = |name: &str| json!([{ "id": "one", "perform": name }, { "id": "two", "do": "Act." }]);
    let read = |name: &str, items: Value| {
        let main = procedure("main", start(), json!({}), json!([{ "id": "outer", "any_order": items }]));
        let rig = equipment(json!({ "a": two(), "b": two() }), json!({}));
        let read = library(&[&rig, &group, &between, &main]).map(|_| name.to_owned());
        read.unwrap_or_else(|finding| finding.chars().take(3).collect())
    };
    assert_eq!(read("main", items("group")), "N13");
    assert_eq!(read("main", items("between")), "N13", "by way of another");
    assert_eq!(read("main", json!([{ "id": "one", "do": "Act." }, { "id": "two", "do": "Act." }])), "main");
}
