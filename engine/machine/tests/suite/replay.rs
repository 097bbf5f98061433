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

fn values(machine: &Machine, a: &str, b: &str) -> Bits {
    let mut bits = Bits::clear(machine.layout.words());
    for (name, value) in [("tip", "small"), ("a", a), ("b", b)] {
        let var = machine.layout.find(name).expect("a variable");
        bits.set_field(&machine.layout, var, machine.layout.bit(var, value).expect("a value"));
    }
    bits
}

/// One value of `b` all along; so many steps are done.
fn run(machine: &Machine, b: &str, steps: usize, violation: Violation) -> Trace {
    let place = |node| Place { node: NodeId(node), items: 0 };
    let moves = [2, 3].map(|node| Move { place: place(node), outcome: 0, after: values(machine, "v1", b) });
    let end = [place(2), place(3), Place { node: DONE, items: 0 }][steps];
    Trace { start: values(machine, "v0", b), moves: moves[..steps].to_vec(), end, violation }
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
    for (b, steps, violation) in [
        ("v1", 1, Violation::Rule(0)),
        ("v1", 1, need),
        ("v0", 2, Violation::Promise(0)),
        ("v0", 1, Violation::Stuck(NodeId(3))),
    ] {
        let trace = run(&machine, b, steps, violation);
        assert_eq!(machine.replay(&trace), Ok(()), "{violation:?}");
        assert_eq!(*trace.last(), values(&machine, "v1", b));
    }
    let nothing = (1, "nothing goes wrong at its end");
    assert_eq!(refusal(&machine, &run(&machine, "v0", 1, Violation::Rule(0))), nothing);
    assert_eq!(refusal(&machine, &run(&machine, "v0", 1, need)), nothing);
    assert_eq!(refusal(&machine, &run(&machine, "v0", 1, Violation::Promise(0))), nothing);
    assert_eq!(refusal(&machine, &run(&machine, "v0", 1, Violation::Stuck(NodeId(2)))), nothing);
    assert_eq!(refusal(&machine, &run(&machine, "v0", 1, Violation::Unanswered(NodeId(3)))), nothing);
}

#[test]
fn what_the_machine_cannot_do_is_no_run() {
    let machine = machine();
    let good = || run(&machine, "v0", 2, Violation::Promise(0));
    let wrong = |change: &dyn Fn(&mut Trace)| {
        let mut trace = good();
        change(&mut trace);
        refusal(&machine, &trace)
    };
    let other = values(&machine, "v1", "v0");
    assert_eq!(wrong(&|trace| trace.start = other.clone()), (0, "the procedure cannot start so"));
    assert_eq!(wrong(&|trace| trace.moves[1].place.node = NodeId(2)), (1, "it starts elsewhere"));
    assert_eq!(wrong(&|trace| trace.moves[0].outcome = 1), (0, "that way is not open"));
    let unwritten = values(&machine, "v0", "v0");
    assert_eq!(
        wrong(&|trace| trace.moves[0].after = unwritten.clone()),
        (0, "it does not lead to those values")
    );
    let by_itself = values(&machine, "v1", "v1");
    assert_eq!(
        wrong(&|trace| trace.moves[0].after = by_itself.clone()),
        (0, "it does not lead to those values")
    );
    assert_eq!(wrong(&|trace| trace.end.node = NodeId(3)), (2, "it ends elsewhere"));
    let early = run(&machine, "v1", 2, Violation::Promise(0));
    assert_eq!(refusal(&machine, &early), (1, "a precondition fails before the end"));
}
