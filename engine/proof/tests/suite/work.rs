//! How much is explored is known, so that an exploration that does more, or keeps another form, is seen. Whoever changes
//! it knows why these figures change, and writes the new ones here.

use super::budget::checks;
use machine::Machine;
use oracle::{equipment, library, procedure, random_documents};
use proof::Budget;
use serde_json::{Map, Value, json};
use std::sync::atomic::{AtomicUsize, Ordering};

/// Boxes alone, diagrams alone, to and fro between them.
const BOXES_AT_JOIN: [usize; 4] = [usize::MAX, 0, 4, 16];

/// Sets of states kept by the exploration, and how often the budget was asked.
fn work(machine: &Machine, boxes_at_join: usize) -> (usize, usize) {
    let asked = AtomicUsize::new(0);
    let go_on = || asked.fetch_add(1, Ordering::Relaxed) < usize::MAX;
    let budget = Budget { boxes: usize::MAX, go_on: &go_on };
    let proof = proof::prove_above(machine, &budget, boxes_at_join).expect("every run replays");
    assert_eq!(proof.ended, None);
    (proof.boxes, asked.load(Ordering::Relaxed))
}

fn random(seed: u64) -> Machine {
    let documents = random_documents(seed);
    let library = library(&documents.iter().collect::<Vec<&Value>>()).expect("no findings");
    machine::compile(&library, &"main".into()).expect("it compiles")
}

#[test]
fn random_procedures_take_so_many_sets() {
    let sets = BOXES_AT_JOIN
        .map(|boxes_at_join| (0..150).map(|seed| work(&random(seed), boxes_at_join).0).sum::<usize>());
    assert_eq!(sets, [2_100, 6_770, 2_192, 2_100]);
}

#[test]
fn a_loop_of_checks_takes_so_many_sets_and_so_much_work() {
    let again =
        json!({ "id": "last", "confirm": { "c0": "v0" }, "disturbs": ["c1", "c2"], "otherwise": "k0" });
    let machine = checks(20, again);
    let work = BOXES_AT_JOIN.map(|boxes_at_join| work(&machine, boxes_at_join));
    assert_eq!(work, [(11_561, 588), (17_979, 106), (17_988, 106), (18_004, 106)]);
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
            "id": format!("set-{name}"), "confirm": { other.clone(): ["v0", "v1"] }, "otherwise": "which",
            "leaves": { name.clone(): "v1", other.clone(): "v2" }, "then": "which"
        }));
    }
    steps.push(json!({ "id": "end", "do": "Act.", "requires": each(&|_| json!("v0")) }));
    let rig = equipment(Value::Object(conditions), json!({}));
    let main = procedure("main", Value::Object(each(&|_| json!("v0"))), json!({}), json!(steps));
    let library = library(&[&rig, &main]).expect("no findings");
    let machine = machine::compile(&library, &"main".into()).expect("it compiles");
    let work = BOXES_AT_JOIN.map(|boxes_at_join| work(&machine, boxes_at_join));
    assert_eq!(work, [(4_169, 208), (2_159, 19), (2_565, 26), (3_141, 51)]);
}
