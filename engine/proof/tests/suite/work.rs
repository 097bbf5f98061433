//! How much is explored is known, so that an exploration that does more, or keeps another form, is seen. Whoever changes
//! it knows why these figures change, and writes the new ones here.

use super::budget::checks;
use machine::Machine;
use oracle::{equipment, library, procedure, varied_documents};
use proof::Budget;
use serde_json::{Map, Value, json};
use std::sync::atomic::{AtomicUsize, Ordering};

/// Sets of states kept by the exploration, and how often the budget was asked.
fn work(machine: &Machine) -> (usize, usize) {
    let asked = AtomicUsize::new(0);
    let go_on = || asked.fetch_add(1, Ordering::Relaxed) < usize::MAX;
    let budget = Budget { boxes: usize::MAX, go_on: &go_on };
    let proof = proof::prove(machine, &budget).expect("every run replays");
    assert_eq!(proof.ended, None);
    (proof.boxes, asked.load(Ordering::Relaxed))
}

fn random(seed: u64) -> Machine {
    let documents = varied_documents(seed);
    let library = library(&documents.iter().collect::<Vec<&Value>>()).expect("no findings");
    machine::compile(&library, &"main".into()).expect("it compiles")
}

#[test]
fn random_procedures_take_so_many_sets() {
    let sets: usize = (0..150).map(|seed| work(&random(seed)).0).sum();
    assert_eq!(sets, 8_132);
}

#[test]
fn a_loop_of_checks_takes_so_many_sets_and_so_much_work() {
    let again =
        json!({ "id": "last", "confirm": { "c0": "v0" }, "disturbs": ["c1", "c2"], "otherwise": "k0" });
    assert_eq!(work(&checks(5, again)), (11_143, 119));
}

/// Ways that meet with different needs met: what nothing looks at merges.
#[test]
fn ways_that_meet_before_what_they_are_needed_for_take_so_many_sets() {
    let ways = |look: bool| {
        let conditions: Map<String, Value> = (0..10)
            .map(|at| (format!("c{at}"), json!({ "values": ["v0", "v1"], "ask": "Is it v0?" })))
            .collect();
        let mut steps = Vec::new();
        for at in 0..10 {
            let on = if at < 9 { format!("ask{}", at + 1) } else { "last".to_owned() };
            steps.push(json!({ "id": format!("ask{at}"), "ask": "Which?", "answers": { "x": format!("a{at}"), "y": format!("b{at}") } }));
            steps.push(json!({ "id": format!("a{at}"), "do": "Act.", "leaves": { format!("c{at}"): "v0" }, "then": on }));
            steps.push(json!({ "id": format!("b{at}"), "do": "Act.", "leaves": { format!("c{at}"): "v1" }, "then": on }));
        }
        let needs: Map<String, Value> = (0..10).map(|at| (format!("c{at}"), json!(["v0", "v1"]))).collect();
        let mut last = json!({ "id": "last", "do": "Act.", "requires": needs });
        if look {
            last = json!({ "id": "last", "confirm": { "c0": "v0", "c1": "v0", "c2": "v0" }, "otherwise": "stop" });
        }
        steps.push(last);
        let rig = equipment(Value::Object(conditions), json!({}));
        let main = procedure("main", json!({}), json!({}), json!(steps));
        let library = library(&[&rig, &main]).expect("no findings");
        work(&machine::compile(&library, &"main".into()).expect("it compiles")).0
    };
    assert_eq!((ways(false), ways(true)), (32, 211), "what is looked at later keeps the ways apart");
}

/// Any of eight conditions may be set, again and again: each round comes back with a little more.
#[test]
fn rounds_that_come_back_with_more_take_so_much_work() {
    let names: Vec<String> = (0..8).map(|at| format!("c{at}")).collect();
    let each = |value: &dyn Fn(&String) -> Value| -> Map<String, Value> {
        names.iter().map(|name| (name.clone(), value(name))).collect()
    };
    let conditions = each(&|_| json!({ "values": ["v0", "v1", "v2"] }));
    let mut answers = each(&|name| json!(format!("set-{name}")));
    answers.insert("out".to_owned(), json!("end"));
    let mut steps = vec![json!({ "id": "which", "ask": "Which?", "answers": answers })];
    for (at, name) in names.iter().enumerate() {
        let other = &names[(at + 1) % names.len()];
        steps.push(json!({
            "id": format!("set-{name}"), "do": "Act.", "requires": { other.clone(): ["v0", "v1"] },
            "leaves": { name.clone(): "v1", other.clone(): "v2" }, "then": "which"
        }));
    }
    steps.push(json!({ "id": "end", "do": "Act.", "requires": each(&|_| json!("v0")) }));
    let rig = equipment(Value::Object(conditions), json!({}));
    let main = procedure("main", Value::Object(each(&|_| json!("v0"))), json!({}), json!(steps));
    let library = library(&[&rig, &main]).expect("no findings");
    let machine = machine::compile(&library, &"main".into()).expect("it compiles");
    assert_eq!(work(&machine), (10_631, 173));
}
