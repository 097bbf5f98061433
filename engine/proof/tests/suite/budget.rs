//! What is not proved within its budget is said, and the budget is kept.

use machine::Machine;
use oracle::{equipment, library, procedure};
use proof::{Budget, Limit, Proof};
use serde_json::{Map, Value, json};
use std::sync::atomic::{AtomicUsize, Ordering};

/// Checks as clauses of a formula over open conditions: whether a run gets through all of them is the question of 3-SAT.
/// `last` is the step after them. Evidence that ends where all of them have come about ties them together: without it each would
/// be followed for itself.
pub(super) fn checks(conditions: usize, last: Value) -> Machine {
    let name = |at: usize| format!("c{at}");
    let mut known: Map<String, Value> =
        (0..conditions).map(|at| (name(at), json!({ "values": ["v0", "v1"], "ask": "Is it v0?" }))).collect();
    let all: Map<String, Value> = (0..conditions).map(|at| (name(at), json!("v1"))).collect();
    known.insert("tight".to_owned(), json!({ "values": ["no", "yes"], "lost_when": all }));
    let mut seed = 7u64;
    let mut next = |end: usize| {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (seed >> 33) as usize % end
    };
    let mut steps = Vec::new();
    for at in 0..4 * conditions {
        let terms: Map<String, Value> =
            (0..3).map(|_| (name(next(conditions)), json!(format!("v{}", next(2))))).collect();
        let on = if at + 1 < 4 * conditions { format!("k{}", at + 1) } else { "last".to_owned() };
        steps.push(json!({ "id": format!("k{at}"), "confirm": terms, "then": "stop", "otherwise": on }));
    }
    steps.push(last);
    let rig = equipment(Value::Object(known), json!({}));
    let main = procedure("main", json!({}), json!({}), json!(steps));
    let library = library(&[&rig, &main]).expect("no findings");
    machine::compile(&library, &"main".into()).expect("it compiles")
}

fn last() -> Value {
    json!({ "id": "last", "do": "Use it." })
}

/// The proof within a budget, and how often that was asked.
fn within(machine: &Machine, boxes: usize, asks: usize) -> (Proof, usize) {
    let asked = AtomicUsize::new(0);
    let go_on = || asked.fetch_add(1, Ordering::Relaxed) < asks;
    let budget = Budget { boxes, go_on: &go_on };
    let proof = proof::prove(machine, &budget).expect("every run replays");
    (proof, asked.load(Ordering::Relaxed))
}

#[test]
fn a_formula_of_checks_ends_with_its_time_or_its_sets_and_says_where() {
    let machine = checks(60, last());
    for (boxes, asks, limit) in [(usize::MAX, 50, Limit::Time), (20_000, usize::MAX, Limit::Sets)] {
        let (proof, asked) = within(&machine, boxes, asks);
        let ended = proof.ended.expect("it is not proved");
        assert_eq!(ended.limit, limit);
        assert!(machine.node(ended.at).path.starts_with('k'), "{}", machine.node(ended.at).path);
        assert!(ended.sets_there > 1 && ended.drivers.len() > 3, "{ended:?}");
        assert!(proof.reached.iter().any(|reached| !reached), "what was not reached is said");
        assert!(proof.boxes <= boxes && (asks == usize::MAX || asked == asks + 1), "{asked} asks of {asks}");
    }
}

#[test]
fn a_small_formula_is_proved_with_few_asks() {
    let (proof, asked) = within(&checks(5, last()), 100_000, 1_000);
    assert!(proof.ended.is_none() && proof.refuted.is_empty());
    assert!((1..1_000).contains(&asked), "{asked}");
}

/// Sets that wait take memory as those that were explored do.
#[test]
fn what_waits_counts_as_much_as_what_was_explored() {
    let values: Vec<String> = (0..64).map(|at| format!("v{at}")).collect();
    let asks: Map<String, Value> = values.iter().map(|value| (value.clone(), json!("Is it this?"))).collect();
    let condition = json!({ "values": values, "ask": asks });
    let rig = equipment(json!({ "a": condition, "b": condition, "c": condition }), json!({}));
    let look = json!({ "id": "look", "confirm": { "a": "v0", "b": "v0", "c": "v0" }, "otherwise": "last" });
    let again = json!({ "id": "again", "confirm": { "a": "v1", "b": "v1", "c": "v1" }, "otherwise": "done" });
    let main = procedure("main", json!({}), json!({}), json!([look, last(), again]));
    let library = library(&[&rig, &main]).expect("no findings");
    let machine = machine::compile(&library, &"main".into()).expect("it compiles");
    let (proof, _) = within(&machine, 1000, usize::MAX);
    assert!(proof.ended.is_some());
    assert!(proof.boxes < 200, "{} were explored while thousands waited", proof.boxes);
}
