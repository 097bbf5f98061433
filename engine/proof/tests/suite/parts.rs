//! What is proved part by part. That each part says what the whole says is compared wherever a procedure is compared with the
//! judge; here are cases in which a part that was cut too small would say more, and sizes that only parts reach.

use super::directed::{NOTHING, hv, proved, rule, two, verdict};
use oracle::{equipment, library, procedure};
use proof::{Budget, Proof};
use serde_json::{Map, Value, json};

fn by_parts(conditions: Value, variants: Value, procedures: &[Value]) -> Option<Proof> {
    let mut rig = equipment(conditions, json!({}));
    if variants != Value::Null {
        rig["variants"] = variants;
        rig["amounts"] = json!({});
    }
    let documents: Vec<&Value> = [&rig].into_iter().chain(procedures).collect();
    let library = library(&documents).unwrap_or_else(|error| panic!("{error}"));
    let machine = machine::compile(&library, &"main".into()).expect("it compiles");
    proof::by_parts(&machine, &Budget { boxes: 100_000, go_on: &|| true })
}

fn main(requires: Value, steps: Value) -> Value {
    procedure("main", requires, json!({}), steps)
}

#[test]
fn a_rule_that_a_look_finds_broken_is_about_all_that_it_names() {
    // An act makes the rest of the rule so, and nothing but the rule joins the two.
    let steps = json!([
        { "id": "open", "do": "Act.", "leaves": { "b": "v1" } },
        { "id": "look", "confirm": { "a": "v0" }, "otherwise": "wipe" },
        { "id": "wipe", "do": "Act." }
    ]);
    let conditions = || json!({ "a": two(), "b": two() });
    let both = json!({ "a": "v1", "b": "v1" });
    let found = proved(conditions(), rule(both), json!({ "a": "v0", "b": "v0" }), steps);
    assert_eq!(found, ["wipe mends nothing"]);
}

#[test]
fn a_question_has_an_answer_for_all_that_its_answers_show() {
    let steps = json!([{ "id": "which", "ask": "Which?", "answers": {
        "low": { "shows": { "a": "v0", "b": "v0" }, "then": "done" },
        "high": { "shows": { "a": "v1", "b": "v1" }, "then": "done" }
    } }]);
    let any = json!({ "a": ["v0", "v1"], "b": ["v0", "v1"] });
    assert_eq!(proved(json!({ "a": two(), "b": two() }), json!({}), any, steps), ["which unanswered"]);
}

#[test]
fn an_item_that_is_offered_again_does_all_of_it_again() {
    // `fit` needs `b` as it was before it; whoever is offered it again finds `b` changed.
    let steps = json!([
        { "id": "all", "any_order": [
            { "id": "fit", "do": "Act.", "requires": { "b": "v0" }, "leaves": { "a": "v1", "b": "v1" } },
            { "id": "look", "confirm": { "a": "v0" }, "otherwise": "stop" }
        ] },
        { "id": "last", "do": "Act." }
    ]);
    let found = proved(json!({ "a": two(), "b": two() }), json!({}), json!({ "a": "v0", "b": "v0" }), steps);
    assert_eq!(found, ["all/fit needs b"]);
}

#[test]
fn what_time_counts_under_is_a_part_with_what_it_counts_for() {
    let mut line = hv();
    line["settles"]["while"] = json!({ "a": "v0" });
    let steps = |between: Value| {
        json!([
            { "id": "set", "do": "Act.", "leaves": { "hv": "present" } },
            between,
            { "id": "pause", "wait": { "for": "10 s" } },
            { "id": "use", "do": "Act.", "requires": { "hv": "gone" } }
        ])
    };
    let conditions = || json!({ "hv": line.clone(), "a": two() });
    let start = || json!({ "hv": "gone", "a": "v0" });
    let feed = json!({ "id": "feed", "do": "Act.", "leaves": { "a": "v1" } });
    assert_eq!(proved(conditions(), json!({}), start(), steps(feed)), ["use needs hv"]);
    let wipe = json!({ "id": "wipe", "do": "Act." });
    assert_eq!(proved(conditions(), json!({}), start(), steps(wipe.clone())), NOTHING);
    let parts = by_parts(conditions(), Value::Null, &[main(start(), steps(wipe))]);
    assert!(parts.is_some(), "as a part too");
}

/// Lines that are charged and waited for in any order, each with what it is charged from.
fn lines(count: usize) -> (Value, Vec<Value>) {
    let (mut conditions, mut requires, mut gone) = (Map::new(), Map::new(), Map::new());
    let (mut items, mut all) = (Vec::new(), Vec::new());
    for at in 0..count {
        let (line, feed, charge) = (format!("line{at}"), format!("feed{at}"), format!("charge{at}"));
        let settles = json!({ "from": "charged", "to": "gone", "after": "45 s", "while": { &feed: "v0" } });
        conditions.insert(line.clone(), json!({ "values": ["gone", "charged"], "settles": settles }));
        conditions.insert(feed.clone(), two());
        requires.insert(feed.clone(), json!("v0"));
        gone.insert(line.clone(), json!("gone"));
        items.push(json!({ "id": format!("i{at}"), "perform": charge }));
        let steps = json!([
            { "id": "charge", "do": "Act.", "leaves": { &line: "charged" } },
            { "id": "fade", "wait": { "for": "45 s" } }
        ]);
        all.push(procedure(&charge, json!({ &feed: "v0" }), json!({}), steps));
    }
    let steps = json!([
        { "id": "all", "any_order": items }, { "id": "last", "do": "Act.", "requires": gone }
    ]);
    all.push(main(Value::Object(requires), steps));
    (Value::Object(conditions), all)
}

#[test]
fn lines_that_settle_in_any_order_grow_with_how_many_there_are() {
    let (conditions, procedures) = lines(3);
    assert_eq!(verdict(conditions, json!({}), &procedures), NOTHING, "by the judge too");
    let sets = |count| {
        let (conditions, procedures) = lines(count);
        by_parts(conditions, Value::Null, &procedures).expect("proved").boxes
    };
    // In each of `n` parts every item but one is a wait alone, and waits of one length are alike.
    assert!(sets(16) < 4 * sets(8) + 100, "{} and {}", sets(16), sets(8));
    assert!(sets(20) < 10_000, "{}", sets(20));
}

#[test]
fn a_line_that_nobody_waits_for_is_missed_in_no_order() {
    let (conditions, mut procedures) = lines(3);
    procedures[1]["steps"].as_array_mut().expect("steps").pop();
    let found = verdict(conditions.clone(), json!({}), &procedures);
    assert_eq!(found, ["last needs line1"], "the last item may be the one without a wait");
    assert!(by_parts(conditions, Value::Null, &procedures).is_none());
}

#[test]
fn variants_that_each_leave_a_condition_are_followed_one_by_one() {
    let (mut conditions, mut variants) = (Map::new(), Map::new());
    let (mut set, mut used) = (Vec::new(), Vec::new());
    for at in 0..12 {
        let (condition, variant) = (format!("c{at}"), format!("x{at}"));
        conditions.insert(condition.clone(), json!({ "values": ["v0", "v1", "v2"], "ask": "Is it?" }));
        variants.insert(variant.clone(), json!(["a", "b", "c"]));
        for (way, value) in [("a", "v0"), ("b", "v1"), ("c", "v2")] {
            let only = || json!({ &variant: way });
            set.push(json!({ "id": format!("set{at}{way}"), "only": only(), "do": "Act.", "leaves": { &condition: value } }));
            used.push(json!({ "id": format!("use{at}{way}"), "only": only(), "do": "Act.", "requires": { &condition: value } }));
        }
    }
    let steps = |used: Vec<Value>| Value::Array(set.iter().cloned().chain(used).collect());
    let prove = |used| {
        let procedures = [main(json!({}), steps(used))];
        by_parts(Value::Object(conditions.clone()), Value::Object(variants.clone()), &procedures)
    };
    let proof = prove(used.clone()).expect("proved");
    assert!(proof.boxes < 10_000 && proof.never_done.is_empty(), "{}", proof.boxes);
    used[0]["requires"] = json!({ "c0": "v1" });
    assert!(prove(used).is_none(), "one way leaves the other value");
}
