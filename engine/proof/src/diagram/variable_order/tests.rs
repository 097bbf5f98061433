//! What stands close together, worked out by hand on small cases.

use super::{LEVELS_LIMIT, LevelVar, VariableOrder, groups, places, pulled, span};
use machine::{Machine, VarId};
use oracle::{equipment, library, procedure};
use serde_json::{Map, Value, json};

/// The variables of these numbers.
fn vars(numbers: &[u32]) -> Vec<LevelVar> {
    numbers.iter().map(|&number| LevelVar::Var(VarId(number))).collect()
}

fn compiled(conditions: Value, rules: Value, steps: Value) -> Machine {
    let rig = equipment(conditions, rules);
    let main = procedure("main", json!({}), json!({}), steps);
    let library = library(&[&rig, &main]).expect("no findings");
    machine::compile(&library, &"main".into()).expect("it compiles")
}

fn named(machine: &Machine, var: LevelVar) -> String {
    match var {
        LevelVar::Var(var) => machine.layout.var(var).name.to_string(),
        LevelVar::Item(block, item) => format!("{block}.{item}"),
    }
}

/// The words of a group, in its order.
fn words(machine: &Machine, group: &[LevelVar]) -> String {
    group.iter().map(|&var| named(machine, var)).collect::<Vec<_>>().join(" ")
}

fn two() -> Value {
    json!({ "values": ["v0", "v1"] })
}

#[test]
fn a_span_is_how_far_the_groups_reach() {
    let order = vars(&[2, 0, 1, 3]);
    assert_eq!(places(&order)[&LevelVar::Var(VarId(1))].to_bits(), 2.0_f64.to_bits());
    assert_eq!(span(&[vars(&[2, 1]), vars(&[0, 1, 3])], &order), 2 + 2);
    assert_eq!(span(&[vars(&[2, 3]), vars(&[0, 1])], &order), 3 + 1);
    assert_eq!(span(&[], &order), 0);
}

#[test]
fn a_variable_moves_to_the_mean_of_its_groups_and_small_groups_pull_harder() {
    let order = vars(&[0, 1, 2, 3, 4, 5]);
    // 0, 1 and 4 move to 5/3, 2 and 3 to 5/2; nothing pulls 5.
    assert_eq!(pulled(&[vars(&[0, 1, 4]), vars(&[2, 3])], &order), vars(&[0, 1, 4, 2, 3, 5]));
    // 0 and 4 move to 2, 1, 2 and 5 to 8/3, 3 stays.
    assert_eq!(pulled(&[vars(&[0, 4]), vars(&[1, 2, 5])], &order), vars(&[0, 4, 1, 2, 5, 3]));
    // 3 is pulled to 3/2 by one half and to 3 by a third, to 21/10 in all; 2 and 4 to 3, 0 to 3/2.
    assert_eq!(pulled(&[vars(&[0, 3]), vars(&[2, 3, 4])], &order), vars(&[1, 0, 3, 2, 4, 5]));
}

#[test]
fn what_one_step_speaks_of_is_a_group_and_so_is_an_item_with_what_it_writes() {
    let conditions = json!({
        "a": two(), "b": two(), "c": two(), "d": two(), "e": two(),
        "seen": { "values": ["yes", "no"], "lost_when": { "d": "v1", "e": "v1" } }
    });
    let rules = json!({ "r": { "when": { "a": "v1", "d": "v1" }, "hazard": "harm" } });
    let steps = json!([
        { "id": "both", "do": "Act.", "leaves": { "a": "v0", "b": "v0" } },
        { "id": "one", "do": "Act.", "leaves": { "a": "v1" } },
        { "id": "look", "confirm": { "c": "v0" }, "otherwise": "stop", "leaves": { "b": "v1" } },
        { "id": "group", "any_order": [
            { "id": "x", "repeat": { "until": { "e": "v1" }, "at_most": 1, "steps": [
                { "id": "y", "do": "Act.", "leaves": { "b": "v0" } },
                { "id": "z", "do": "Act.", "leaves": { "d": "v0" } }
            ] }, "otherwise": "end" },
            { "id": "w", "do": "Act." },
            { "id": "v", "do": "Act.", "leaves": { "c": "v0" } }
        ] },
        { "id": "end", "do": "Act.", "leaves": { "a": "v0" } }
    ]);
    let machine = compiled(conditions, rules, steps);
    let (groups, items) = groups(&machine);
    let groups: Vec<String> = groups.iter().map(|group| words(&machine, group)).collect();
    // What `end` writes is none of an item's: it lies outside the block.
    assert_eq!(groups, ["a b", "b c", "b d 0.0", "c 0.2", "d e seen", "a d"]);
    assert_eq!(items.into_iter().collect::<Vec<_>>(), [(0, 3)]);
}

#[test]
fn every_variable_and_every_item_has_one_level_and_partners_come_closer() {
    let conditions: Map<String, Value> =
        ["a", "b", "c", "d", "e", "f"].map(|name| (name.to_owned(), two())).into_iter().collect();
    let act = |id: &str, one: &str, other: &str| {
        let (wanted, made) = (json!({ one: "v0" }), json!({ other: "v0" }));
        json!({ "id": id, "confirm": wanted, "otherwise": "stop", "leaves": made })
    };
    let steps = json!([
        act("s0", "a", "d"), act("s1", "b", "c"), act("s2", "d", "e"), act("s3", "e", "f"),
        { "id": "group", "any_order": [
            { "id": "x", "do": "Act.", "leaves": { "c": "v1" } }, { "id": "y", "do": "Act.", "leaves": { "f": "v1" } }
        ] }
    ]);
    let machine = compiled(Value::Object(conditions), json!({}), steps);
    let order = VariableOrder::new(&machine).expect("few variables");
    let told = words(&machine, &order.vars);
    // As the groups come (`a d b c e f 0.0 0.1 tip`) they reach 11 levels far, so 10; in the best order it would be 6.
    assert_eq!(told, "a d b c e 0.0 f 0.1 tip");
    assert_eq!(span(&groups(&machine).0, &order.vars), 10);
    for (level, var) in (0..).zip(&order.vars) {
        if let LevelVar::Var(var) = *var {
            assert_eq!(order.var(var), level);
        }
    }
    assert_eq!(order.items(Some(0)).collect::<Vec<_>>(), [(0, 5), (1, 7)]);
    assert_eq!((order.items(None).count(), order.items(Some(1)).count()), (0, 0));
}

#[test]
fn past_so_many_variables_there_are_no_diagrams() {
    let machine = |count: usize| {
        let conditions: Map<String, Value> = (0..count).map(|at| (format!("c{at}"), two())).collect();
        compiled(Value::Object(conditions), json!({}), json!([{ "id": "act", "do": "Act." }]))
    };
    // The equipment has one variant besides.
    assert!(VariableOrder::new(&machine(LEVELS_LIMIT - 1)).is_some());
    assert!(VariableOrder::new(&machine(LEVELS_LIMIT)).is_none());
}
