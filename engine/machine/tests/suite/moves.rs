//! How a state moves: one small case for each thing a move may do, worked out by hand.

use crate::{changed, compiled, compiled_on, conjunction, membership, next, shown, two, voltage};
use machine::{AbstractState, Bits, Conjunct, Cube, Effect, Machine, Next, NodeId, Place};
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
    let mut seen = voltage();
    seen["ask"] = json!("Is it gone?");
    let machine = compiled(json!({ "hv": seen }), json!({ "hv": "present" }), steps.clone());
    assert_eq!(shown(&machine, &machine.start()), "act: hv=gone|present [0]", "it may fall at once");
    let machine = compiled(json!({ "hv": seen }), json!({ "hv": "gone" }), steps.clone());
    assert_eq!(shown(&machine, &machine.start()), "act: hv=gone [10000]");
    let machine = compiled(json!({ "hv": voltage() }), json!({ "hv": "gone" }), steps);
    assert_eq!(
        shown(&machine, &machine.start()),
        "act: hv=gone|present [0]",
        "nobody can assert what nobody sees"
    );
    assert_eq!(machine.unseen.iter().map(|&one| membership(&machine, one)).collect::<Vec<_>>(), ["hv=gone"]);
    let met = machine.met_at_start().expect("it may be so");
    assert_eq!(shown(&machine, &met), "act: hv=gone [10000]");
}

#[test]
fn a_look_leaves_what_record_and_answer_have_in_common_and_else_is_a_surprise() {
    let machine = act(json!({ "id": "look", "confirm": { "a": "v0" }, "otherwise": "stop" }));
    let told = |values: &[(&str, &str)], outcome| {
        let [next] = &machine.step(&state(&machine, values, &[]), outcome)[..] else { panic!("one record") };
        (shown(&machine, &next.state), next.surprise, changed(&machine, next).join(" "))
    };
    let is = |state: &str, surprise, changed: &str| (state.to_owned(), surprise, changed.to_owned());
    assert_eq!(told(&[], 0), is("done: a=v0 b=v0|v1", false, ""));
    assert_eq!(told(&[], 1), is("stop: a=v1 b=v0|v1", false, ""));
    assert_eq!(told(&[("a", "v1")], 0), is("done: a=v0 b=v0|v1", true, "a"));
    assert_eq!(told(&[("a", "v0")], 1), is("stop: a=v1 b=v0|v1", true, "a"));
    assert_eq!(told(&[("a", "v0")], 2), is("stop: a=v0|v1 b=v0|v1 opened a", false, "a"), "nobody can tell");
}

#[test]
fn several_conditions_are_ticked_one_by_one_whatever_came_before() {
    let machine = act(json!({ "id": "look", "confirm": { "a": "v0", "b": "v1" }, "otherwise": "stop" }));
    let step = |state: &AbstractState, outcome| machine.step(state, outcome).remove(0).state;
    let here = state(&machine, &[], &[]);
    let (yes, no) = (step(&here, 0), step(&here, 1));
    assert_eq!(shown(&machine, &yes), "look: a=v0 b=v0|v1");
    assert_eq!(shown(&machine, &no), "look: a=v1 b=v0|v1");
    assert_eq!(machine.key(yes.place.node), "look [] tick 2");
    assert_eq!(machine.told_at(no.place.node), yes.place.node, "the same tick is told once");
    assert_eq!(shown(&machine, &step(&yes, 0)), "done: a=v0 b=v1");
    assert_eq!(shown(&machine, &step(&yes, 1)), "stop: a=v0 b=v0");
    assert_eq!(shown(&machine, &step(&no, 0)), "stop: a=v1 b=v1", "the second yes does not help");
}

#[test]
fn a_reading_finds_out_whatever_the_record_said() {
    let step = json!({
        "id": "read", "otherwise": "stop",
        "measure": { "what": "it", "instrument": "gauge", "at_least": "1 V", "shows": { "a": "v1" } }
    });
    let machine = act(step);
    let here = state(&machine, &[("a", "v0"), ("b", "v0")], &[]);
    let told = |outcome| {
        let [next] = &machine.step(&here, outcome)[..] else { panic!("one record") };
        (shown(&machine, &next.state), next.surprise, changed(&machine, next).join(" "))
    };
    assert_eq!(told(0), ("done: a=v1 b=v0".to_owned(), false, "a".to_owned()));
    assert_eq!(told(1), ("stop: a=v0 b=v0".to_owned(), false, "a".to_owned()));
    assert_eq!(told(2), ("stop: a=v0|v1 b=v0 opened a".to_owned(), false, "a".to_owned()));
}

#[test]
fn the_first_look_at_what_was_opened_finds_out() {
    let mut rig = equipment(
        json!({ "a": two(), "seen": { "values": ["yes", "no"], "lost_when": { "a": "v1" } } }),
        json!({}),
    );
    rig["actions"]["knock"] = json!({ "do": "Act.", "disturbs": ["a"] });
    let steps = json!([
        { "id": "knock", "action": "knock" },
        { "id": "make", "do": "Act.", "leaves": { "seen": "yes" } },
        { "id": "look", "confirm": { "a": "v0" }, "otherwise": "stop" }
    ]);
    let machine = compiled_on(&rig, &[procedure("main", json!({}), json!({}), steps)]);
    let step = |state: &AbstractState, outcome| machine.step(state, outcome).remove(0);
    let knocked = step(&state(&machine, &[("a", "v0"), ("seen", "yes")], &[]), 0).state;
    assert_eq!(shown(&machine, &knocked), "make: a=v0|v1 seen=yes|no opened a opened seen");
    let made = step(&knocked, 0).state;
    assert_eq!(shown(&machine, &made), "look: a=v0|v1 seen=yes opened a");
    let no = step(&made, 1);
    assert!(!no.surprise);
    assert_eq!(shown(&machine, &no.state), "stop: a=v1 seen=yes|no opened seen", "as if it had been written");
    assert_eq!(shown(&machine, &step(&made, 0).state), "done: a=v0 seen=yes");
}

#[test]
fn an_answer_shows_something_or_says_nothing() {
    let machine = act(json!({
        "id": "which", "ask": "Which?", "answers": { "x": { "shows": { "a": "v1" }, "then": "done" }, "y": "stop" }
    }));
    let here = state(&machine, &[("a", "v0")], &[]);
    let surprises: Vec<bool> = (0..3).map(|outcome| machine.step(&here, outcome)[0].surprise).collect();
    assert_eq!(surprises, [true, false, false]);
    assert_eq!(next(&machine, &here, 0), ["done: a=v1 b=v0|v1"]);
    assert_eq!(next(&machine, &here, 1), ["stop: a=v0 b=v0|v1"]);
    assert_eq!(next(&machine, &here, 2), ["stop: a=v0|v1 b=v0|v1 opened a"], "who cannot tell stops");
}

#[test]
fn once_a_look_contradicted_the_wait_only_a_look_counts() {
    let mut hv = voltage();
    hv["ask"] = json!("Is it gone?");
    let steps = json!([
        { "id": "wait", "wait": { "for": "10 s" } },
        { "id": "look", "confirm": { "hv": "gone" }, "otherwise": "longer" },
        { "id": "end", "do": "Act.", "then": "done" },
        { "id": "longer", "wait": { "for": "10 s" } },
        { "id": "relook", "confirm": { "hv": "gone" }, "otherwise": "stop" }
    ]);
    let machine = compiled(json!({ "hv": hv }), json!({}), steps);
    let step = |state: &AbstractState, outcome| machine.step(state, outcome).remove(0).state;
    let waited = step(&machine.start(), 0);
    assert_eq!(shown(&machine, &waited), "look: hv=gone [10000]");
    let contradicted = step(&waited, 1);
    assert_eq!(shown(&machine, &contradicted), "longer: hv=gone|present [0]");
    assert!(machine.is_look_only(&contradicted, 0));
    let longer = step(&contradicted, 0);
    assert_eq!(shown(&machine, &longer), "relook: hv=gone|present [10000]", "no wait counts any more");
    assert_eq!(shown(&machine, &step(&longer, 0)), "done: hv=gone [10000]", "a look does");
}

#[test]
fn time_counts_only_while_its_cause_surely_holds() {
    let mut hv = voltage();
    hv["settles"]["while"] = json!({ "a": "v0" });
    let steps = json!([
        { "id": "first", "wait": { "for": "6 s" } },
        { "id": "on", "do": "Act.", "leaves": { "a": "v1" } },
        { "id": "off", "do": "Act.", "leaves": { "a": "v0" } },
        { "id": "second", "wait": { "for": "6 s" } }
    ]);
    let machine = compiled(json!({ "hv": hv, "a": two() }), json!({}), steps);
    let step = |state: &AbstractState| machine.step(state, 0).remove(0).state;
    let known = machine.narrow(&machine.start(), &cube(&machine, &[("a", &["v0"])])).expect("a record");
    let first = step(&known);
    assert_eq!(shown(&machine, &first), "on: hv=gone|present a=v0 [6000]");
    let on = step(&first);
    assert_eq!(shown(&machine, &on), "off: hv=gone|present a=v1 [0]");
    assert_eq!(shown(&machine, &step(&step(&on))), "done: hv=gone|present a=v0 [6000]", "it began anew");
    assert_eq!(shown(&machine, &machine.pass_time(&on, 60_000)), "off: hv=gone|present a=v1 [0]");
    assert_eq!(shown(&machine, &step(&machine.start())), "on: hv=gone|present a=v0|v1 [0]", "nobody knows");
}

#[test]
fn an_act_changes_its_conditions_one_by_one() {
    let machine = act(json!({ "id": "act", "do": "Act.", "leaves": { "b": "v1" }, "disturbs": ["a", "b"] }));
    let step = |state: &AbstractState| machine.step(state, 0).remove(0).state;
    let midway = step(&state(&machine, &[("a", "v0"), ("b", "v0")], &[]));
    assert_eq!(shown(&machine, &midway), "act: a=v0 b=v1");
    assert_eq!(machine.key(midway.place.node), "act [] in act 1");
    assert_eq!(machine.key(machine.act_of(midway.place.node)), "act [] body");
    assert_eq!(shown(&machine, &step(&step(&midway))), "done: a=v0|v1 b=v0|v1 opened a opened b");
}

#[test]
fn what_is_not_verified_is_open() {
    let machine = act(json!({
        "id": "act", "do": "Act.", "leaves": { "a": "v1" }, "disturbs": ["b"], "verified_by": "technician"
    }));
    let step = |state: &AbstractState, outcome| machine.step(state, outcome).remove(0).state;
    let done = step(&step(&state(&machine, &[("a", "v0"), ("b", "v0")], &[]), 0), 0);
    assert_eq!(machine.key(done.place.node), "act [] verify");
    assert_eq!(shown(&machine, &done), "act: a=v1 b=v0|v1 opened b");
    assert_eq!(shown(&machine, &step(&done, 0)), "done: a=v1 b=v0|v1", "who verifies looks");
    assert_eq!(shown(&machine, &step(&done, 1)), "stop: a=v0|v1 b=v0|v1 opened a opened b");
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
    let rested = step(&waited);
    assert_eq!(shown(&machine, &rested), "rest: hv=gone a=v0 [10000]");
    assert_eq!(
        shown(&machine, &step(&rested)),
        "done: hv=gone a=v1 [10000]",
        "what it leaves comes after its time"
    );
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

#[test]
fn evidence_ends_where_its_cause_may_be_and_other_evidence_with_it() {
    let conditions = json!({
        "cover": { "values": ["shut", "open"] }, "a": two(),
        "seen": { "values": ["yes", "no"], "lost_when": { "cover": "open", "a": "v1" } },
        "sure": { "values": ["yes", "no"], "lost_when": { "seen": "no" } }
    });
    let machine = compiled(
        conditions,
        json!({}),
        json!([{ "id": "open", "do": "Act.", "leaves": { "cover": "open" } }]),
    );
    let opened = |values: &[(&str, &str)]| {
        let here =
            state(&machine, &[values, &[("cover", "shut"), ("seen", "yes"), ("sure", "yes")]].concat(), &[]);
        let [next] = &machine.step(&here, 0)[..] else { panic!("one record") };
        (shown(&machine, &next.state), changed(&machine, next).join(" "))
    };
    let lost = "seen=yes|no sure=yes|no opened seen opened sure";
    assert_eq!(opened(&[]), (format!("done: cover=open a=v0|v1 {lost}"), "cover seen sure".to_owned()));
    assert_eq!(
        opened(&[("a", "v1")]),
        (format!("done: cover=open a=v1 {lost}"), "cover seen sure".to_owned())
    );
    let stays = "done: cover=open a=v0 seen=yes sure=yes";
    assert_eq!(opened(&[("a", "v0")]), (stays.to_owned(), "cover".to_owned()));
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
    let midway = machine.step(&here, 0).remove(0);
    assert_eq!(
        (shown(&machine, &midway.state).as_str(), changed(&machine, &midway)),
        ("use: a=v0 b=v1", vec!["b"])
    );
    assert_eq!(next(&machine, &midway.state, 0), ["done: a=v0|v1 b=v1 opened a"]);
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
    let open = |items| machine.open(Place { items, ..Place::at(choosing) }).collect::<Vec<_>>();
    assert_eq!((open(0), open(0b010), open(0b101)), (vec![0, 1, 2], vec![0, 2], vec![1]));
    assert_eq!(open(0b111), [3], "all are done");
    assert_eq!(machine.open(Place::at(machine.entry)).collect::<Vec<_>>(), [0]);
    let at = |items| AbstractState { place: Place { items, ..Place::at(choosing) }, ..machine.start() };
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
fn what_a_plan_does_changes_a_record_as_a_step_would() {
    let mut rig = equipment(
        json!({ "a": two(), "hv": voltage(), "seen": { "values": ["yes", "no"], "lost_when": { "a": "v1" } } }),
        json!({}),
    );
    rig["safe_state"] = json!({ "a": "v0" });
    rig["actions"]["mend"] =
        json!({ "do": "Act.", "restores": true, "disturbs": ["hv"], "leaves": { "a": "v1" } });
    let machine =
        compiled_on(&rig, &[procedure("main", json!({}), json!({}), json!([{ "id": "act", "do": "Act." }]))]);
    let mut here = state(&machine, &[("a", "v0"), ("hv", "gone"), ("seen", "yes")], &[10_000]);
    let mut told = Vec::new();
    for &effect in &machine.restoring[0].effects {
        let applied = machine.apply(&mut here, effect);
        let names = applied.changed.iter().map(|&var| machine.layout.var(var).name.to_string());
        told.push((shown(&machine, &here), names.collect::<Vec<_>>().join(" ")));
    }
    let expected = [
        ("act: a=v1 hv=gone seen=yes|no [10000] opened seen", "a seen"),
        ("act: a=v1 hv=gone|present seen=yes|no [0] opened hv opened seen", "hv"),
    ];
    assert_eq!(told, expected.map(|(state, changed)| (state.to_owned(), changed.to_owned())));
    let a = machine.layout.find("a").expect("a condition");
    let applied = machine.apply(&mut here, Effect::Look(Conjunct { var: a, set: 1 }));
    assert!(applied.surprise, "it is v0 after all");
}

/// Two rules over three conditions.
fn ruled(steps: Value) -> Machine {
    let rules = json!({
        "r": { "when": { "a": "v1", "b": "v1" }, "hazard": "harm" }, "s": { "when": { "c": "v1" }, "hazard": "harm" }
    });
    let rig = equipment(json!({ "a": two(), "b": two(), "c": two() }), rules);
    compiled_on(&rig, &[procedure("main", json!({}), json!({}), steps)])
}

#[test]
fn an_act_that_may_break_a_rule_goes_on_where_it_does_not() {
    let machine = ruled(json!([{ "id": "act", "do": "Act.", "leaves": { "a": "v1" } }]));
    let told: Vec<(String, Vec<usize>)> = machine
        .step(&state(&machine, &[], &[]), 0)
        .iter()
        .map(|next| (shown(&machine, &next.state), next.broken.clone()))
        .collect();
    let expected = [("done: a=v1 b=v0 c=v0|v1", vec![]), ("done: a=v1 b=v0|v1 c=v0|v1", vec![0])];
    assert_eq!(told, expected.map(|(state, broken)| (state.to_owned(), broken)));
    let [fine] = &machine.step(&state(&machine, &[("b", "v0")], &[]), 0)[..] else { panic!("one record") };
    assert!(fine.broken.is_empty(), "and what is not written does not count");
    assert_eq!(machine.broken(&state(&machine, &[], &[]), &[]), [0; 0]);
}

#[test]
fn a_look_finds_broken_and_the_next_act_ends_it() {
    let machine = ruled(json!([
        { "id": "look", "confirm": { "a": "v0" }, "otherwise": "next" },
        { "id": "end", "do": "Act.", "then": "done" },
        { "id": "next", "do": "Act.", "leaves": { "b": ["v0", "v1"], "a": "v0" } },
        { "id": "wait", "wait": { "for": "1 s" } }
    ]));
    let here = state(&machine, &[("b", "v1"), ("c", "v0")], &[]);
    let found = machine.step(&here, 1).remove(0);
    assert_eq!(shown(&machine, &found.state), "next: a=v1 b=v1 c=v0 found r");
    assert!(found.broken.is_empty(), "a look brings nothing about");
    let midway = machine.step(&found.state, 0).remove(0);
    assert!(midway.broken.is_empty() && !midway.unmended, "it is not over, and what was found may go on");
    assert_eq!(shown(&machine, &midway.state), "next: a=v1 b=v0|v1 c=v0 found r");
    let over = machine.step(&midway.state, 0).remove(0);
    assert!(!over.unmended);
    assert_eq!(shown(&machine, &over.state), "wait: a=v0 b=v0|v1 c=v0");
    let elsewhere = AbstractState { place: over.state.place, ..midway.state };
    let waited = machine.step(&elsewhere, 0).remove(0);
    assert!(waited.unmended, "a wait ends nothing");
    assert_eq!(shown(&machine, &waited.state), "done: a=v1 b=v0|v1 c=v0", "it is told once");
    assert_eq!(
        shown(&machine, &machine.step(&here, 2)[0].state),
        "next: a=v0|v1 b=v1 c=v0 opened a",
        "not surely"
    );
}

#[test]
fn a_start_breaks_only_what_is_surely_so() {
    let machine = |requires: Value| {
        let rules = json!({ "r": { "when": { "a": "v1", "b": "v1" }, "hazard": "harm" } });
        let rig = equipment(json!({ "a": two(), "b": two() }), rules);
        compiled_on(&rig, &[procedure("main", requires, json!({}), json!([{ "id": "act", "do": "Act." }]))])
    };
    assert_eq!(machine(json!({ "a": "v1" })).broken_at_start(), [0; 0]);
    assert_eq!(machine(json!({ "a": "v1", "b": "v1" })).broken_at_start(), [0]);
}

#[test]
fn whoever_seeks_a_state_is_told_every_act_that_leads_to_it() {
    let machine = ruled(json!([
        { "id": "look", "confirm": { "a": "v0" }, "otherwise": "stop" },
        { "id": "act", "do": "Act.", "leaves": { "c": "v1" } }, { "id": "turn", "do": "Act.", "leaves": { "b": "v0" } },
    ]));
    let asking = machine.seeking(cube(&machine, &[("a", &["v1"]), ("b", &["v0"])]));
    let here = state(&machine, &[("b", "v0")], &[]);
    let broken = |outcome| machine_broken(&asking, &here, outcome);
    assert_eq!((broken(0), broken(1)), (vec![vec![]], vec![vec![]]), "a look brings nothing about");
    let at = |name: &str| {
        let node = (0..).map(NodeId).find(|&id| machine.node(id).path == name).expect("a node");
        machine_broken(&asking, &AbstractState { place: Place::at(node), ..here.clone() }, 0)
    };
    assert_eq!(at("act"), [[0; 0]], "an act that has nothing to do with it");
    assert_eq!(at("turn"), [vec![], vec![0]], "an act that writes some of it");
    assert!(machine.lawless().rules.is_empty());
}

fn machine_broken(machine: &Machine, here: &AbstractState, outcome: usize) -> Vec<Vec<usize>> {
    machine.step(here, outcome).into_iter().map(|next| next.broken).collect()
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
    let elsewhere = AbstractState { place: Place::at(NodeId(0)), ..all.clone() };
    assert!(!elsewhere.is_within(&all));
    let tip = machine.layout.find("tip").expect("a variant");
    assert_eq!(membership(&machine, Conjunct { var: tip, set: machine.layout.all(tip) }), "tip=small|large");
}
