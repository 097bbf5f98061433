//! Plans for stopping, worked out by hand for small machines.

use machine::{Machine, compile};
use oracle::{equipment, library, procedure, shown};
use proof::{Leaving, PlanStep, Planner, Universal};
use serde_json::{Map, Value, json};

/// A machine with one procedure that requires this and leaves the rest to what the equipment says.
pub(super) fn machine(rig: &Value, requires: Value) -> Machine {
    let main = procedure("main", requires, json!({}), json!([{ "id": "act", "do": "Act." }]));
    let documents = [rig, &main];
    let library = library(&documents).unwrap_or_else(|error| panic!("{error}\n{}", shown(&documents)));
    compile(&library, &"main".into()).expect("it compiles")
}

pub(super) fn rig(conditions: Value, rules: Value, rest: Value, mends: &[(&str, Value)]) -> Value {
    let mut rig = equipment(conditions, rules);
    rig["safe_state"] = rest;
    for (name, mend) in mends {
        rig["actions"][name] = mend.clone();
        rig["actions"][name]["do"] = json!("Act.");
        rig["actions"][name]["restores"] = json!(true);
    }
    rig
}

/// A condition that can be looked at.
pub(super) fn two() -> Value {
    json!({ "values": ["v0", "v1"] })
}

pub(super) fn seen() -> Value {
    let mut seen = two();
    seen["ask"] = json!("Is it?");
    seen
}

/// A plan in one line: `a v0? (v1: close, a v0! else (close, a v0! else cannot))`.
pub(super) fn line(machine: &Machine, steps: &[PlanStep]) -> String {
    let words = |var, set| {
        format!("{} {}", machine.layout.var(var).name, machine.layout.words_of(var, set).join("|"))
    };
    let one = |step: &PlanStep| match step {
        PlanStep::Act(at) => machine.restoring[*at].name.to_string(),
        PlanStep::Wait { var, millis } => format!("wait {millis} for {}", machine.layout.var(*var).name),
        PlanStep::Look { var, ways, untold: _ } => {
            let way = |(set, steps): &(u64, Vec<PlanStep>)| {
                format!("{}: {}", words(*var, *set), line(machine, steps))
            };
            format!("look ({})", ways.iter().map(way).collect::<Vec<_>>().join("; "))
        }
        PlanStep::Again { var, values, failed } => {
            format!("{}! else ({})", words(*var, *values), line(machine, failed))
        }
        PlanStep::Universal => "universal".to_owned(),
        PlanStep::Cannot => "cannot".to_owned(),
    };
    steps.iter().map(one).collect::<Vec<_>>().join(", ")
}

pub(super) fn universal(machine: &Machine) -> String {
    match Planner::new(machine).expect("a state to leave in").universal() {
        Universal::Plan(steps) => line(machine, steps),
        Universal::Impossible(_) => "none".to_owned(),
        Universal::Unknown => "unknown".to_owned(),
    }
}

#[test]
fn valves_in_any_state_do_not_multiply() {
    let names: Vec<String> = (0..40).map(|at| format!("valve-{at}")).collect();
    let conditions: Map<String, Value> = names.iter().map(|name| (name.clone(), seen())).collect();
    let rest: Map<String, Value> = names.iter().map(|name| (name.clone(), json!("v0"))).collect();
    let mends: Vec<(String, Value)> = names
        .iter()
        .map(|name| (format!("close-{name}"), json!({ "leaves": { name.as_str(): "v0" } })))
        .collect();
    let mends: Vec<(&str, Value)> = mends.iter().map(|(name, mend)| (name.as_str(), mend.clone())).collect();
    let machine = machine(&rig(conditions.into(), json!({}), rest.into(), &mends), json!({}));
    let mut planner = Planner::new(&machine).expect("a state to leave in");
    let Universal::Plan(steps) = planner.universal() else { panic!("a plan") };

    assert_eq!(steps.len(), 40, "one look each, and what it leads to");
    let Leaving::Plan { moves, looks } = planner.leave(&machine.start()) else { panic!("a way") };

    assert_eq!((moves.len(), looks.len()), (40, 40));
}

#[test]
fn who_finds_it_otherwise_puts_it_right_once_more_and_then_keeps_away() {
    let rig = rig(
        json!({ "a": seen() }),
        json!({}),
        json!({ "a": "v0" }),
        &[("close", json!({ "leaves": { "a": "v0" } }))],
    );
    let again = "close, a v0! else (cannot)";
    assert_eq!(
        universal(&machine(&rig, json!({}))),
        format!("look (a v0: ; a v1: close, a v0! else ({again}))")
    );
}

/// A hidden voltage that goes within 10 s while the isolator is off.
fn hidden() -> Value {
    json!({ "values": ["gone", "present"],
        "settles": { "from": "present", "to": "gone", "after": "10 s", "while": { "isolator": "v0" } } })
}

pub(super) fn plan(conditions: Value, rules: Value, rest: Value, mends: &[(&str, Value)]) -> String {
    universal(&machine(&rig(conditions, rules, rest, mends), json!({})))
}

pub(super) fn rule(when: Value) -> Value {
    json!({ "r": { "when": when, "hazard": "harm" } })
}

#[test]
fn what_an_act_needs_is_made_sure_of_first() {
    let mends = [
        ("lower", json!({ "requires": { "chock": "v0" }, "leaves": { "load": "v0" } })),
        ("chock", json!({ "leaves": { "chock": "v0" } })),
    ];
    let conditions = || json!({ "load": seen(), "chock": seen() });
    let chocked = "look (chock v0: ; chock v1: chock, chock v0! else (chock, chock v0! else (cannot)))";
    assert_eq!(
        plan(conditions(), json!({}), json!({ "load": "v0" }), &mends),
        format!("look (load v0: ; load v1: {chocked}, lower, load v0! else (lower, load v0! else (cannot)))")
    );
    assert_eq!(
        plan(conditions(), json!({}), json!({ "load": "v0" }), &mends[..1]),
        "none",
        "nothing chocks it"
    );
}

#[test]
fn a_rule_is_made_impossible_before_an_act_could_break_it() {
    // A drain must not be opened while the pump runs.
    let mends =
        [("open", json!({ "leaves": { "drain": "v1" } })), ("halt", json!({ "leaves": { "pump": "v0" } }))];
    let conditions = || json!({ "drain": seen(), "pump": seen() });
    let never = || rule(json!({ "drain": "v1", "pump": "v1" }));
    let open = "open, drain v1! else (open, drain v1! else (cannot))";
    let halt = "halt, pump v0! else (halt, pump v0! else (cannot))";
    let found = plan(conditions(), never(), json!({ "drain": "v1" }), &mends);
    // Where the drain stands open already a running pump is found broken only by whoever looks at it.
    assert_eq!(found, format!("look (drain v1: ; drain v0: look (pump v0: ; pump v1: {halt}), {open})"));
    assert_eq!(plan(conditions(), never(), json!({ "drain": "v1" }), &mends[..1]), "none");
}

#[test]
fn what_nobody_sees_is_waited_for_under_what_time_counts_under() {
    let conditions = || json!({ "isolator": seen(), "hv": hidden() });
    let off = ("off", json!({ "leaves": { "isolator": "v0" } }));
    let isolated =
        "look (isolator v0: ; isolator v1: off, isolator v0! else (off, isolator v0! else (cannot)))";
    let found = plan(conditions(), json!({}), json!({ "hv": "gone" }), &[off]);
    assert_eq!(found, format!("{isolated}, wait 10000 for hv"));
    assert_eq!(plan(conditions(), json!({}), json!({ "hv": "gone" }), &[]), "none", "time may never count");
}

#[test]
fn an_act_that_nobody_can_check_is_done_in_any_case() {
    let mends = [("tag", json!({ "leaves": { "tag": "v0" } }))];
    assert_eq!(plan(json!({ "tag": two() }), json!({}), json!({ "tag": "v0" }), &mends), "tag");
}

#[test]
fn where_parts_do_not_come_one_by_one_every_case_is_searched() {
    // Which act helps depends on where the hoist stands, which no act changes.
    let mends = [
        ("down", json!({ "requires": { "hoist": "v0" }, "leaves": { "load": "v0" } })),
        ("up", json!({ "requires": { "hoist": "v1" }, "leaves": { "load": "v0" } })),
    ];
    let found = plan(json!({ "load": two(), "hoist": seen() }), json!({}), json!({ "load": "v0" }), &mends);
    assert_eq!(found, "look (hoist v0: down; hoist v1: up)");
}

#[test]
fn what_one_act_undoes_is_done_after_it() {
    // Lowering disturbs the latch; both are wanted, and the latch is named first.
    let mends = [
        ("latch", json!({ "leaves": { "latch": "v0" } })),
        ("lower", json!({ "leaves": { "load": "v0" }, "disturbs": ["latch"] })),
    ];
    let rest = json!({ "latch": "v0", "load": "v0" });
    let found = plan(json!({ "latch": two(), "load": two() }), json!({}), rest, &mends);
    assert_eq!(found, "latch, lower, latch");
}

#[test]
fn behind_a_cover_nobody_looks_before_it_is_open() {
    let mut inside = seen();
    inside["seen_when"] = json!({ "cover": "v1" });
    let mends = [
        ("clean", json!({ "requires": { "cover": "v1" }, "leaves": { "inside": "v0" } })),
        ("open", json!({ "leaves": { "cover": "v1" } })),
    ];
    let conditions = json!({ "cover": seen(), "inside": inside });
    let found = plan(conditions, json!({}), json!({ "inside": "v0" }), &mends);
    let opened = "look (cover v1: ; cover v0: open, cover v1! else (open, cover v1! else (cannot)))";
    let clean = "clean, inside v0! else (clean, inside v0! else (cannot))";
    assert_eq!(found, format!("{opened}, look (inside v0: ; inside v1: {clean})"));
}

/// The way from a start that requires this.
fn way(rig: &Value, requires: Value) -> String {
    let machine = machine(rig, requires);
    match Planner::new(&machine).expect("a state to leave in").leave(&machine.start()) {
        Leaving::Plan { moves, looks } => format!("{} / {}", line(&machine, &moves), line(&machine, &looks)),
        Leaving::Stuck(_) => "stuck".to_owned(),
        Leaving::Unknown => "unknown".to_owned(),
    }
}

#[test]
fn a_plan_at_a_place_looks_only_at_what_is_not_known() {
    let mends =
        [("close-a", json!({ "leaves": { "a": "v0" } })), ("close-b", json!({ "leaves": { "b": "v0" } }))];
    let rig = rig(json!({ "a": seen(), "b": seen() }), json!({}), json!({ "a": "v0", "b": "v0" }), &mends);
    let looks = "a v0! else (universal), b v0! else (universal)";
    assert_eq!(way(&rig, json!({ "a": "v0", "b": "v0" })), format!(" / {looks}"));
    assert_eq!(way(&rig, json!({ "a": "v1", "b": "v0" })), format!("close-a / {looks}"));
    // To do it anyway is as good as to look first, and shorter.
    assert_eq!(way(&rig, json!({ "a": "v0" })), format!("close-b / {looks}"));
}

#[test]
fn without_a_universal_plan_a_place_may_still_have_one() {
    // Nothing brings the key back; but where it is known to be there, the door can be locked.
    let mends = [("lock", json!({ "requires": { "key": "v0" }, "leaves": { "door": "v0" } }))];
    let rig = rig(json!({ "key": two(), "door": seen() }), json!({}), json!({ "door": "v0" }), &mends);
    assert_eq!(universal(&machine(&rig, json!({}))), "none");
    assert_eq!(way(&rig, json!({ "key": "v0" })), "lock / door v0! else (cannot)");
    assert_eq!(way(&rig, json!({})), "stuck");
}

/// What ends it needs another act first, and the twelve valves are unknown: case by case that is too much.
#[test]
fn a_rule_that_a_look_finds_broken_is_ended_part_by_part() {
    let valves: Vec<String> = (0..12).map(|at| format!("valve-{at}")).collect();
    let mut conditions: Map<String, Value> = valves.iter().map(|name| (name.clone(), seen())).collect();
    conditions.extend(["gate", "pin", "wind"].map(|name| (name.to_owned(), seen())));
    let rest: Map<String, Value> = valves.iter().map(|name| (name.clone(), json!("v0"))).collect();
    let mut mends: Vec<(&str, Value)> =
        valves.iter().map(|name| (name.as_str(), json!({ "leaves": { name.as_str(): "v0" } }))).collect();
    mends.push(("pull-pin", json!({ "leaves": { "pin": "v0" } })));
    mends.push(("shut-gate", json!({ "requires": { "pin": "v0" }, "leaves": { "gate": "v0" } })));
    let never = json!({ "open": { "when": { "gate": "v1", "wind": "v1" }, "hazard": "harm" } });
    let rig = rig(conditions.into(), never, rest.into(), &mends);
    let look = json!([{ "id": "look", "confirm": { "gate": "v0", "wind": "v0" }, "otherwise": "stop" }]);
    let documents = [&rig, &procedure("main", json!({}), json!({}), look)];
    let library = library(&documents).unwrap_or_else(|error| panic!("{error}\n{}", shown(&documents)));
    let machine = compile(&library, &"main".into()).expect("it compiles");
    let budget = proof::Budget { boxes: 100_000, go_on: &|| true };
    let proof = proof::prove(&machine, &budget).expect("runs replay");
    assert_eq!((proof.refuted.len(), proof.ended), (0, None));
}

/// No act ends what a look found broken: the supply is switched off all the same, and then people keep away.
#[test]
fn what_can_be_done_is_done_where_something_stays_broken() {
    let off = [("off", json!({ "leaves": { "supply": "v0" } }))];
    let rules = json!({ "bare": { "when": { "cover": "v1", "supply": "v1" }, "hazard": "harm" },
        "open": { "when": { "cover": "v1", "gasket": "v1" }, "hazard": "harm" } });
    let conditions = json!({ "supply": seen(), "cover": seen(), "gasket": seen() });
    let machine = machine(
        &rig(conditions, rules, json!({ "supply": "v0" }), &off),
        json!({ "supply": "v1", "cover": "v1", "gasket": "v1" }),
    );
    let mut state = machine.start();
    let open = machine.rules.iter().position(|rule| &*rule.name == "open").expect("that rule");
    machine.set_found(&mut state, open, true);
    let mut planner = Planner::new(&machine).expect("a state to leave in");
    assert!(matches!(planner.leave(&state), Leaving::Stuck(_)), "the proof refutes it");
    let Leaving::Plan { moves, looks } = planner.leave_any(&[state]) else { panic!("something can be done") };
    assert_eq!(
        (line(&machine, &moves).as_str(), looks.len()),
        ("off, supply v0! else (universal), cannot", 0)
    );
}

#[test]
fn in_an_item_nothing_is_believed_that_a_look_beside_it_may_have_contradicted() {
    let rig = rig(
        json!({ "a": seen() }),
        json!({}),
        json!({ "a": "v0" }),
        &[("close", json!({ "leaves": { "a": "v0" } }))],
    );
    let beside = procedure(
        "beside",
        json!({}),
        json!({}),
        json!([
            { "id": "look", "confirm": { "a": "v0" }, "otherwise": "note" },
            { "id": "go-on", "do": "Act.", "then": "done" },
            { "id": "note", "do": "Act." }
        ]),
    );
    let main = procedure(
        "main",
        json!({ "a": "v0" }),
        json!({}),
        json!([
            { "id": "all", "any_order": [{ "id": "wipe", "do": "Act." }, { "id": "other", "perform": "beside" }] }
        ]),
    );
    let documents = [&rig, &beside, &main];
    let library = library(&documents).unwrap_or_else(|error| panic!("{error}\n{}", shown(&documents)));
    let machine = compile(&library, &"main".into()).expect("it compiles");
    let proof = proof::prove(&machine, &proof::Budget { boxes: 1_000, go_on: &|| true }).expect("a proof");
    let at = |path: &str| {
        let nodes: Vec<_> = proof.stood.nodes().filter(|&node| machine.node(node).path == path).collect();
        let mut planner = Planner::new(&machine).expect("a state to leave in");
        match planner.leave_nodes(&proof.stood, &nodes) {
            Leaving::Plan { moves, .. } => line(&machine, &moves),
            other => panic!("{other:?}"),
        }
    };
    assert_eq!(at("all/wipe"), "close", "the look may have been before it");
}

/// Of what time should have made so a look said otherwise: only a look counts from there on, and no short way is sure. The plan for
/// whatever is true has the look, and a way for whoever sees that waiting did not help.
#[test]
fn what_waiting_did_not_help_is_left_by_the_plan_for_whatever_is_true() {
    let mut settles = seen();
    settles["settles"] = json!({ "from": "v1", "to": "v0", "after": "10 s", "while": "none" });
    let machine =
        machine(&rig(json!({ "a": settles }), json!({}), json!({ "a": "v0" }), &[]), json!({ "a": "v0" }));
    let var = machine.layout.find("a").expect("a condition");
    let mut state = machine.start();
    let set = machine.layout.bit(var, "v1").expect("a value");
    machine.apply(&mut state, machine::Effect::Look(machine::Conjunct { var, set }));
    let mut planner = Planner::new(&machine).expect("a state to leave in");
    assert!(matches!(planner.leave(&state), Leaving::Stuck(_)), "{:?}", planner.leave(&state));
    let Leaving::Plan { moves, .. } = planner.leave_any(&[state]) else { panic!("a way") };
    assert_eq!(moves, [PlanStep::Universal]);
    let Universal::Plan(steps) = planner.universal() else { panic!("a plan") };
    assert_eq!(line(&machine, steps), "look (a v0: ; a v1: wait 10000 for a, a v0! else (cannot))");
}

/// How long ago it was looked at nobody knows who reads a card: what it was does not count where an act relies on it.
#[test]
fn a_way_on_a_card_looks_anew_at_what_grows_old() {
    let mut old = seen();
    old["lapses"] = json!("15 min");
    let shut = json!({ "requires": { "b": "v0" }, "leaves": { "a": "v0" } });
    let clear = json!({ "leaves": { "b": "v0" } });
    let known = json!({ "a": ["v0", "v1"], "b": "v0" });
    let way = |b: Value| {
        let machine = machine(
            &rig(
                json!({ "a": seen(), "b": b }),
                json!({}),
                json!({ "a": "v0" }),
                &[("shut", shut.clone()), ("clear", clear.clone())],
            ),
            known.clone(),
        );
        let stood =
            proof::prove(&machine, &proof::Budget { boxes: 1000, go_on: &|| true }).expect("a proof").stood;
        let mut planner = Planner::new(&machine).expect("a state to leave in");
        let Leaving::Plan { moves, .. } = planner.leave_nodes(&stood, &[machine.entry]) else {
            panic!("a way")
        };
        line(&machine, &moves)
    };
    assert_eq!(way(seen()), "shut");
    assert_eq!(way(old), "clear, shut");
}
