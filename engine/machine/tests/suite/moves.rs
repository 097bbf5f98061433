//! How a state moves: one small case for each thing a move may do, worked out by hand.

use crate::{changed, compiled, compiled_on, conjunction, membership, next, shown, two, voltage};
use machine::{AbstractState, Bits, Conjunct, Cube, Machine, Next, NodeId, Place};
use oracle::{equipment, procedure};
use serde_json::{Value, json};

/// A state at the first step with these values and clocks; what is not named may be anything.
fn state(machine: &Machine, values: &[(&str, &str)], clocks: &[u64]) -> AbstractState {
    let mut state = AbstractState { clocks: clocks.into(), ..machine.start() };
    for var in machine.layout.ids() {
        state.bits.set_field(&machine.layout, var, machine.layout.all(var));
    }
    for (name, value) in values {
        let var = machine.layout.find(name).expect("a variable");
        state.bits.set_field(&machine.layout, var, machine.layout.bit(var, value).expect("a value"));
    }
    state
}

fn cube(machine: &Machine, values: &[(&str, &[&str])]) -> Cube {
    let conjunct = |(name, values): &(&str, &[&str])| {
        let var = machine.layout.find(name).expect("a variable");
        let set = values.iter().map(|value| machine.layout.bit(var, value).expect("a value")).sum();
        Conjunct { var, set }
    };
    Cube(values.iter().map(conjunct).collect())
}

/// A box in words.
fn bits(machine: &Machine, bits: &Bits) -> String {
    let all = machine.layout.ids().map(|var| Conjunct { var, set: bits.field(&machine.layout, var) });
    conjunction(machine, &Cube(all.filter(|one| one.set != machine.layout.all(one.var)).collect()))
}

fn act(step: Value) -> Machine {
    compiled(json!({ "a": two(), "b": two() }), json!({}), json!([step]))
}

#[test]
fn a_start_has_what_is_asked_and_anything_else() {
    let steps = json!([{ "id": "act", "do": "Act." }]);
    let machine =
        compiled(json!({ "a": two(), "b": two(), "hv": voltage() }), json!({ "b": "v1" }), steps.clone());
    assert_eq!(shown(&machine, &machine.start()), "act: a=v0|v1 b=v1 hv=gone|present [0]");
    let machine = compiled(json!({ "hv": voltage() }), json!({ "hv": "present" }), steps.clone());
    assert_eq!(shown(&machine, &machine.start()), "act: hv=gone|present [0]", "it may fall at once");
    let machine = compiled(json!({ "hv": voltage() }), json!({ "hv": "gone" }), steps);
    assert_eq!(shown(&machine, &machine.start()), "act: hv=gone [10000]");
}

#[test]
fn a_guard_parts_a_state_and_each_part_knows_where_it_came_from() {
    let machine = act(json!({ "id": "look", "confirm": { "a": "v0", "b": "v0" }, "otherwise": "stop" }));
    let here = state(&machine, &[], &[]);
    assert_eq!(next(&machine, &here, 0), ["done: a=v0 b=v0"]);
    assert_eq!(next(&machine, &here, 1), ["stop: a=v1 b=v0|v1", "stop: a=v0 b=v1"]);
    let origins = |outcome| -> Vec<String> {
        machine.step(&here, outcome).iter().map(|next| bits(&machine, &next.origin)).collect()
    };
    assert_eq!(origins(0), ["a=v0 b=v0"]);
    assert_eq!(origins(1), ["a=v1", "a=v0 b=v1"]);
    let other = state(&machine, &[("a", "v1")], &[]);
    assert!(machine.step(&other, 0).is_empty(), "it cannot hold");
    assert_eq!(next(&machine, &other, 1), ["stop: a=v1 b=v0|v1"]);
}

#[test]
fn what_is_found_out_anew_came_from_anywhere() {
    let step = json!({
        "id": "read", "otherwise": "stop", "leaves": { "b": "v1" },
        "measure": { "what": "it", "instrument": "gauge", "at_least": "1 V", "shows": { "a": "v1" } }
    });
    let machine = act(step);
    let here = state(&machine, &[("a", "v0"), ("b", "v0")], &[]);
    let [pass] = &machine.step(&here, 0)[..] else { panic!("one result") };
    assert_eq!(shown(&machine, &pass.state), "done: a=v1 b=v1");
    assert_eq!(
        (bits(&machine, &pass.origin).as_str(), changed(&machine, pass)),
        ("a=v0 b=v0", vec!["a", "b"])
    );
    let [fail] = &machine.step(&here, 1)[..] else { panic!("one result") };
    assert_eq!(shown(&machine, &fail.state), "stop: a=v0 b=v0");
    assert_eq!(changed(&machine, fail), ["a"]);
}

#[test]
fn a_clock_begins_with_a_setting_and_ends_with_the_time() {
    let steps = json!([
        { "id": "set", "do": "Act.", "leaves": { "hv": "present" } },
        { "id": "wait", "wait": { "for": "4 s" } },
        { "id": "rest", "wait": { "for": "6 s" }, "leaves": { "a": "v1" } }
    ]);
    let machine = compiled(json!({ "hv": voltage(), "a": two() }), json!({}), steps);
    let step = |state: &AbstractState| machine.step(state, 0).remove(0).state;
    let set = step(&state(&machine, &[("a", "v0")], &[7_000]));
    assert_eq!(shown(&machine, &set), "wait: hv=gone|present a=v0 [0]");
    let waited = step(&set);
    assert_eq!(shown(&machine, &waited), "rest: hv=gone|present a=v0 [4000]");
    assert_eq!(shown(&machine, &step(&waited)), "done: hv=gone a=v1 [10000]");
    let short = machine.pass_time(&set, 9_999);
    assert_eq!(shown(&machine, &short), "wait: hv=gone|present a=v0 [9999]");
    assert_eq!(shown(&machine, &machine.pass_time(&short, 1)), "wait: hv=gone a=v0 [10000]");
    assert_eq!(shown(&machine, &machine.pass_time(&set, u64::MAX)), "wait: hv=gone a=v0 [10000]");
}

#[test]
fn the_time_of_a_wait_parts_a_state_by_the_variants() {
    let steps = json!([{ "id": "purge", "wait": { "for": "$purge" } }]);
    let machine = compiled(json!({ "hv": voltage() }), json!({}), steps);
    let here = state(&machine, &[("hv", "present")], &[0]);
    let here = machine.narrow(&here, &Cube::default()).expect("a state");
    assert_eq!(next(&machine, &here, 0), ["done: hv=gone|present [5000]", "done: hv=gone [10000]"]);
    let boxes = |of: &dyn Fn(&Next) -> Bits| -> Vec<String> {
        machine.step(&here, 0).iter().map(|next| bits(&machine, &of(next))).collect()
    };
    assert_eq!(boxes(&|next| next.state.bits.clone()), ["tip=small", "tip=large hv=gone"]);
    assert_eq!(boxes(&|next| next.origin.clone()), ["tip=small", "tip=large"]);
}

/// Evidence `seen` ends with an open cover and `a=v1`, and with it `sure`.
fn evidence() -> Machine {
    let conditions = json!({
        "cover": { "values": ["shut", "open"] }, "a": two(),
        "seen": { "values": ["yes", "no"], "lost_when": { "cover": "open", "a": "v1" } },
        "sure": { "values": ["yes", "no"], "lost_when": { "seen": "no" } }
    });
    compiled(conditions, json!({}), json!([{ "id": "open", "do": "Act.", "leaves": { "cover": "open" } }]))
}

#[test]
fn evidence_ends_where_its_cause_is_and_other_evidence_with_it() {
    let machine = evidence();
    let known = [("cover", "shut"), ("seen", "yes"), ("sure", "yes")];
    let here = state(&machine, &known, &[]);
    let results = machine.step(&here, 0);
    let mut told: Vec<(String, String, Vec<&str>)> = results
        .iter()
        .map(|next| (shown(&machine, &next.state), bits(&machine, &next.origin), changed(&machine, next)))
        .collect();
    told.sort();
    let expected = [
        ("done: cover=open a=v0 seen=yes sure=yes", "cover=shut a=v0 seen=yes sure=yes", vec!["cover"]),
        (
            "done: cover=open a=v1 seen=no sure=yes|no",
            "cover=shut a=v1 seen=yes sure=yes",
            vec!["cover", "seen", "sure"],
        ),
        (
            "done: cover=open a=v1 seen=yes sure=yes",
            "cover=shut a=v1 seen=yes sure=yes",
            vec!["cover", "seen"],
        ),
    ];
    let expected = expected.map(|(state, origin, changed)| (state.to_owned(), origin.to_owned(), changed));
    assert_eq!(told, expected);
}

#[test]
fn evidence_that_no_act_touches_stays() {
    let conditions = json!({
        "cover": { "values": ["shut", "open"] },
        "seen": { "values": ["yes", "no"], "lost_when": { "cover": "open" } }, "a": two()
    });
    let machine =
        compiled(conditions, json!({}), json!([{ "id": "act", "do": "Act.", "leaves": { "a": "v1" } }]));
    let here = state(&machine, &[("cover", "open"), ("seen", "yes")], &[]);
    assert_eq!(next(&machine, &here, 0), ["done: cover=open seen=yes a=v1"], "the cover was open before");
}

#[test]
fn what_is_disturbed_may_be_anything_afterwards() {
    let mut rig = equipment(json!({ "a": two(), "b": two() }), json!({}));
    rig["actions"]["act"] = json!({ "do": "Act.", "disturbs": ["a"], "leaves": { "b": "v1" } });
    let steps = json!([{ "id": "use", "action": "act" }]);
    let machine = compiled_on(&rig, &[procedure("main", json!({}), json!({}), steps)]);
    let here = state(&machine, &[("a", "v0"), ("b", "v0")], &[]);
    assert_eq!(next(&machine, &here, 0), ["done: a=v0|v1 b=v1"]);
    assert_eq!(changed(&machine, &machine.step(&here, 0)[0]), ["a", "b"]);
}

#[test]
fn an_item_is_open_until_it_is_done() {
    let steps = json!([
        { "id": "group", "any_order": [
            { "id": "one", "do": "Act." }, { "id": "two", "do": "Act." }, { "id": "three", "do": "Act.", "then": "group" }
        ] },
        { "id": "end", "do": "Act." }
    ]);
    let machine = compiled(json!({ "a": two() }), json!({}), steps);
    let choosing = machine.node(machine.entry).outcomes[0].to.node;
    let open = |items| machine.open(Place { node: choosing, items }).collect::<Vec<_>>();
    assert_eq!((open(0), open(0b010), open(0b101)), (vec![0, 1, 2], vec![0, 2], vec![1]));
    assert_eq!(open(0b111), [3], "all are done");
    assert_eq!(machine.open(Place { node: machine.entry, items: 0 }).collect::<Vec<_>>(), [0]);
    let at = |items| AbstractState { place: Place { node: choosing, items }, ..machine.start() };
    let inside = machine.step(&at(0b100), 1).remove(0).state;
    assert_eq!(shown(&machine, &inside), "group/two+100: a=v0|v1");
    assert_eq!(next(&machine, &inside, 0), ["group+110: a=v0|v1"]);
    assert_eq!(next(&machine, &at(0b111), 3), ["end: a=v0|v1"], "outside the block no item counts");
    let third = machine.step(&at(0b011), 2).remove(0).state;
    assert_eq!(next(&machine, &third, 0), ["group: a=v0|v1"], "who enters anew finds all open");
}

#[test]
fn preconditions_are_told_by_number_and_narrow_a_state() {
    let machine = act(json!({ "id": "act", "do": "Act.", "requires": { "a": "v0", "b": "v1" } }));
    let unmet = |values: &[(&str, &str)]| machine.unmet(&state(&machine, values, &[]));
    assert_eq!(unmet(&[]), [0, 1]);
    assert_eq!(unmet(&[("a", "v0")]), [1]);
    assert_eq!(unmet(&[("a", "v1"), ("b", "v1")]), [0]);
    assert_eq!(unmet(&[("a", "v0"), ("b", "v1")]), [0; 0]);
    let here = state(&machine, &[], &[]);
    let narrowed = machine.narrow(&here, &cube(&machine, &[("a", &["v0"])])).expect("some are inside");
    assert_eq!(shown(&machine, &narrowed), "act: a=v0 b=v0|v1");
    let outside = machine.outside(&here, &cube(&machine, &[("a", &["v0"]), ("b", &["v0"])]));
    let outside: Vec<String> = outside.iter().map(|part| shown(&machine, part)).collect();
    assert_eq!(outside, ["act: a=v1 b=v0|v1", "act: a=v0 b=v1"]);
    assert_eq!(
        machine.narrow(&state(&machine, &[("a", "v1")], &[]), &cube(&machine, &[("a", &["v0"])])),
        None
    );
}

#[test]
fn what_is_seen_may_fall_and_what_has_fallen_stays_so() {
    let machine = compiled(json!({ "hv": voltage() }), json!({}), json!([{ "id": "act", "do": "Act." }]));
    let here = machine.start();
    let seen = |value: &str| {
        let part = machine.narrow(&here, &cube(&machine, &[("hv", &[value])])).expect("it may be so");
        shown(&machine, &part)
    };
    assert_eq!(
        (seen("present").as_str(), seen("gone").as_str()),
        ("act: hv=gone|present [0]", "act: hv=gone [10000]")
    );
    let [gone] = &machine.outside(&here, &cube(&machine, &[("hv", &["present"])]))[..] else {
        panic!("one part")
    };
    assert_eq!(shown(&machine, gone), "act: hv=gone [10000]");
}

#[test]
fn acts_that_restore_and_losses_happen_wherever_one_is() {
    let mut rig = equipment(
        json!({ "a": two(), "hv": voltage(), "seen": { "values": ["yes", "no"], "lost_when": { "a": "v1" } } }),
        json!({}),
    );
    rig["safe_state"] = json!({ "a": "v0" });
    rig["actions"]["mend"] =
        json!({ "do": "Act.", "restores": true, "disturbs": ["hv"], "leaves": { "a": "v1" } });
    let machine =
        compiled_on(&rig, &[procedure("main", json!({}), json!({}), json!([{ "id": "act", "do": "Act." }]))]);
    let here = state(&machine, &[("a", "v0"), ("hv", "gone"), ("seen", "yes")], &[10_000]);
    let [mended] = &machine.restore(&here, &machine.restoring[0])[..] else { panic!("one result") };
    assert_eq!(shown(&machine, &mended.state), "act: a=v1 hv=gone|present seen=yes|no [0]");
    assert_eq!(changed(&machine, mended), ["a", "hv", "seen"]);
    let a = machine.layout.find("a").expect("a condition");
    let mut lost: Vec<(String, Vec<&str>)> = machine
        .havoc(&here, &[a])
        .iter()
        .map(|next| (shown(&machine, &next.state), changed(&machine, next)))
        .collect();
    lost.sort();
    let expected = [
        ("act: a=v0 hv=gone seen=yes [10000]", vec!["a"]),
        ("act: a=v1 hv=gone seen=yes|no [10000]", vec!["a", "seen"]),
    ];
    assert_eq!(lost, expected.map(|(state, changed)| (state.to_owned(), changed)));
}

#[test]
fn rules_are_broken_by_what_speaks_of_them() {
    let rules = json!({
        "r": { "when": { "a": "v1", "b": "v1" }, "hazard": "harm" }, "s": { "when": { "b": "v0" }, "hazard": "harm" }
    });
    let rig = equipment(json!({ "a": two(), "b": two() }), rules);
    let machine =
        compiled_on(&rig, &[procedure("main", json!({}), json!({}), json!([{ "id": "act", "do": "Act." }]))]);
    let [a, b] = ["a", "b"].map(|name| machine.layout.find(name).expect("a condition"));
    let anything = state(&machine, &[], &[]);
    assert_eq!(machine.broken(&anything, &[a]), [0]);
    assert_eq!(machine.broken(&anything, &[b, a]), [0, 1]);
    assert_eq!(machine.broken(&state(&machine, &[("b", "v0")], &[]), &[a, b]), [1]);
    assert_eq!(machine.broken(&anything, &[]), [0; 0]);
    let asking = machine.forbidding(cube(&machine, &[("a", &["v0"])]));
    assert_eq!((asking.broken(&anything, &[a]), asking.broken(&anything, &[b])), (vec![0], vec![]));
    assert_eq!(asking.rules.len(), 1);
}

#[test]
fn a_state_is_within_another_that_allows_as_much() {
    let machine =
        compiled(json!({ "a": two(), "hv": voltage() }), json!({}), json!([{ "id": "act", "do": "Act." }]));
    let all = state(&machine, &[], &[3_000]);
    assert!(state(&machine, &[("a", "v0")], &[3_000]).is_within(&all));
    assert!(state(&machine, &[], &[4_000]).is_within(&all), "more time has passed");
    assert!(!state(&machine, &[], &[2_000]).is_within(&all));
    assert!(!all.is_within(&state(&machine, &[("a", "v0")], &[3_000])));
    let elsewhere = AbstractState { place: Place { node: NodeId(0), items: 0 }, ..all.clone() };
    assert!(!elsewhere.is_within(&all));
    let tip = machine.layout.find("tip").expect("a variant");
    assert_eq!(membership(&machine, Conjunct { var: tip, set: machine.layout.all(tip) }), "tip=small|large");
}
