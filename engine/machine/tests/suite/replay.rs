//! A run is replayed through the step function, and one that is none is refused, with the reason.

use crate::{compiled_on, two};
use machine::{Bits, DONE, Machine, Move, NodeId, Place, Trace, Violation};
use oracle::{equipment, procedure};
use serde_json::json;

/// `first` writes a, then `second` needs b; a rule forbids both to be v1; b is promised.
fn machine() -> Machine {
    let rules = json!({ "r": { "when": { "a": "v1", "b": "v1" }, "hazard": "harm" } });
    let rig = equipment(json!({ "a": two(), "b": two() }), rules);
    let steps = json!([
        { "id": "first", "do": "Act.", "leaves": { "a": "v1" } },
        { "id": "second", "do": "Act.", "requires": { "b": "v0" } }
    ]);
    compiled_on(&rig, &[procedure("main", json!({ "a": "v0" }), json!({ "b": "v1" }), steps)])
}

fn values(machine: &Machine, a: &str, b: &[&str]) -> Bits {
    let mut bits = Bits::clear(machine.layout.words());
    for (name, values) in [("tip", &["small"][..]), ("a", &[a]), ("b", b)] {
        let var = machine.layout.find(name).expect("a variable");
        let set = values.iter().map(|value| machine.layout.bit(var, value).expect("a value")).sum();
        bits.set_field(&machine.layout, var, set);
    }
    bits
}

fn place(node: u32) -> Place {
    Place::at(NodeId(node))
}

/// Nothing is known of b at the start; so many steps are done. Where the rule is not broken b is v0.
fn run(machine: &Machine, steps: usize, violation: Violation) -> Trace {
    let after = if matches!(violation, Violation::Rule(_)) { &["v0", "v1"][..] } else { &["v0"] };
    let moves = [2, 3].map(|node| Move {
        place: place(node),
        outcome: 0,
        surprise: false,
        after: values(machine, "v1", after),
    });
    let end = [place(2), place(3), Place::at(DONE)][steps];
    Trace { start: values(machine, "v0", &["v0", "v1"]), moves: moves[..steps].to_vec(), end, violation }
}

fn refusal(machine: &Machine, trace: &Trace) -> (usize, &'static str) {
    let error = machine.replay(trace).expect_err("it is no run");
    assert!(error.to_string().contains(error.what), "{error}");
    (error.at, error.what)
}

#[test]
fn runs_end_in_what_goes_wrong() {
    let machine = machine();
    let need = Violation::Need { node: NodeId(3), need: 0 };
    let stuck = Violation::Stuck(NodeId(3));
    for (steps, violation) in [(1, Violation::Rule(0)), (2, Violation::Promise(0)), (1, stuck)] {
        let trace = run(&machine, steps, violation);
        assert_eq!(machine.replay(&trace), Ok(()), "{violation:?}");
        let b: &[&str] = if steps == 1 && violation == Violation::Rule(0) { &["v0", "v1"] } else { &["v0"] };
        assert_eq!(*trace.last(), values(&machine, "v1", b));
    }
    let nothing = |at| (at, "nothing goes wrong at its end");
    assert_eq!(refusal(&machine, &run(&machine, 1, need)), nothing(1), "b is v0 there");
    assert_eq!(refusal(&machine, &run(&machine, 1, Violation::Promise(0))), nothing(1));
    assert_eq!(refusal(&machine, &run(&machine, 1, Violation::Stuck(NodeId(2)))), nothing(1));
    assert_eq!(refusal(&machine, &run(&machine, 1, Violation::StuckAfter(NodeId(2)))), nothing(1));
    assert_eq!(refusal(&machine, &run(&machine, 1, Violation::Unmended(NodeId(2)))), nothing(1));
    assert_eq!(refusal(&machine, &run(&machine, 1, Violation::Unanswered(NodeId(3)))), nothing(1));
    assert_eq!(refusal(&machine, &run(&machine, 0, Violation::Rule(0))), nothing(0));
}

#[test]
fn what_the_machine_cannot_do_is_no_run() {
    let machine = machine();
    let wrong = |change: &dyn Fn(&mut Trace)| {
        let mut trace = run(&machine, 2, Violation::Promise(0));
        change(&mut trace);
        refusal(&machine, &trace)
    };
    let other = values(&machine, "v1", &["v0"]);
    assert_eq!(wrong(&|trace| trace.start = other.clone()), (0, "the procedure cannot start so"));
    let small = values(&machine, "v0", &["v0"]);
    assert_eq!(
        wrong(&|trace| trace.start = small.clone()),
        (0, "the procedure cannot start so"),
        "not a record"
    );
    assert_eq!(wrong(&|trace| trace.moves[1].place.node = NodeId(2)), (1, "it starts elsewhere"));
    assert_eq!(wrong(&|trace| trace.moves[0].outcome = 1), (0, "that way is not open"));
    let elsewhere = (0, "it does not lead to those values");
    let unwritten = values(&machine, "v0", &["v0"]);
    assert_eq!(wrong(&|trace| trace.moves[0].after = unwritten.clone()), elsewhere);
    assert_eq!(wrong(&|trace| trace.moves[0].surprise = true), elsewhere);
    let broken = values(&machine, "v1", &["v0", "v1"]);
    assert_eq!(wrong(&|trace| trace.moves[0].after = broken.clone()), elsewhere, "a rule is broken there");
    assert_eq!(wrong(&|trace| trace.end.node = NodeId(3)), (2, "it ends elsewhere"));
}

#[test]
fn a_run_ends_where_something_else_is_done_than_ending_what_was_found_broken() {
    let rules = json!({ "r": { "when": { "a": "v1" }, "hazard": "harm" } });
    let rig = equipment(json!({ "a": two(), "b": two() }), rules);
    let steps = json!([
        { "id": "look", "confirm": { "a": "v0" }, "otherwise": "act", "then": "done" },
        { "id": "act", "do": "Act." }
    ]);
    let machine = compiled_on(&rig, &[procedure("main", json!({ "a": "v0" }), json!({}), steps)]);
    let step = |node, outcome, surprise| Move {
        place: place(node),
        outcome,
        surprise,
        after: values(&machine, "v1", &["v0", "v1"]),
    };
    let start = values(&machine, "v0", &["v0", "v1"]);
    let end = Place::at(DONE);
    let violation = Violation::Unmended(NodeId(3));
    let trace = Trace { start, moves: vec![step(2, 1, true), step(3, 0, false)], end, violation };
    assert_eq!(machine.replay(&trace), Ok(()));
    let mut other = trace.clone();
    other.moves[0].surprise = false;
    assert_eq!(refusal(&machine, &other), (0, "it does not lead to those values"), "it is a surprise");
    other = Trace { violation: Violation::Unmended(DONE), ..trace };
    assert_eq!(refusal(&machine, &other), (2, "nothing goes wrong at its end"));
}
