//! What each kind of step becomes, node by node, worked out by hand.

use crate::{compiled, compiled_on, conjunction, membership, outcome, two, voltage};
use machine::{Machine, NeedSource, Node, NodeKind};
use oracle::{equipment, procedure};
use serde_json::{Value, json};

/// Every node but the two ends: number, path, what a person meets, what it needs, where its outcomes lead.
fn listing(machine: &Machine) -> Vec<String> {
    let nodes = machine.nodes.iter().enumerate().skip(2);
    let line = |(at, node): (usize, &Node)| {
        let mut words = format!("{at} {}: {}", node.path, kind(machine, node));
        for need in &node.needs {
            let by = match &need.source {
                NeedSource::Step => "step",
                NeedSource::Work(name) | NeedSource::Action(name) | NeedSource::Procedure(name) => name,
            };
            words += &format!(", needs {} ({by})", membership(machine, need.conjunct));
        }
        let outcomes = node.outcomes.iter().map(|one| outcome(machine, one));
        [vec![words], outcomes.collect()].concat()
    };
    nodes.flat_map(line).collect()
}

fn kind(machine: &Machine, node: &Node) -> String {
    match &node.kind {
        NodeKind::End => "end".to_owned(),
        NodeKind::Route => "route".to_owned(),
        NodeKind::Enter => "enter".to_owned(),
        NodeKind::Act => "act".to_owned(),
        NodeKind::Confirm(cube) => format!("confirm {}", conjunction(machine, cube)),
        NodeKind::Measure { attempt, attempts } => format!("reading {attempt} of {attempts}"),
        NodeKind::Wait(cube) => format!("wait {}", conjunction(machine, cube)).trim_end().to_owned(),
        NodeKind::Ask => "ask".to_owned(),
        NodeKind::Hold => "hold".to_owned(),
        NodeKind::AnyOrder { items } => format!("any of {items}"),
        NodeKind::RepeatUntil { until, round, rounds } => {
            format!("round {round} of {rounds} until {}", conjunction(machine, until))
        }
    }
}

/// The nodes of one step, with `last` behind it.
fn one(step: Value) -> Vec<String> {
    listing(&compiled(
        json!({ "a": two(), "b": two() }),
        json!({}),
        json!([step, { "id": "last", "do": "Act." }]),
    ))
    .into_iter()
    .filter(|line| line != "3 last: act" && line != "Done, to 0 done")
    .collect()
}

#[test]
fn an_act_needs_and_writes_what_it_says() {
    let steps = json!([
        {
            "id": "first", "do": "Act.", "requires": { "a": "v0" }, "work": "near",
            "leaves": { "b": "v1" }, "disturbs": ["a", "b"], "then": "last"
        },
        { "id": "middle", "hold": { "released_by": "technician", "check": "Look." }, "leaves": { "a": "v1" } },
        { "id": "last", "do": "Act.", "then": "stop" }
    ]);
    let mut rig = equipment(json!({ "a": two(), "b": two() }), json!({}));
    rig["work"]["near"]["requires"] = json!({ "b": ["v0", "v1"] });
    let machine = compiled_on(&rig, &[procedure("main", json!({}), json!({}), steps)]);
    assert_eq!(
        listing(&machine),
        [
            "2 first: act, needs a=v0 (step), needs b=v0|v1 (near)",
            "Done, then a=v0|v1, then b=v1, to 4 last",
            "3 middle: hold",
            "Done, then a=v1, to 4 last",
            "4 last: act",
            "Done, to 1 stop",
        ]
    );
    assert_eq!((machine.entry.0, &*machine.procedure.0), (2, "main"));
}

#[test]
fn a_reusable_step_disturbs_and_leaves_before_the_step_that_uses_it() {
    let mut rig = equipment(json!({ "a": two(), "b": two(), "c": two() }), json!({}));
    rig["work"]["far"]["requires"] = json!({ "a": "v1" });
    rig["actions"]["act"] = json!({
        "do": "Act.", "requires": { "a": "v0" }, "work": "far", "disturbs": ["a", "c"], "leaves": { "b": "v0" }
    });
    let found =
        |step: Value| listing(&compiled_on(&rig, &[procedure("main", json!({}), json!({}), json!([step]))]));
    assert_eq!(
        found(json!({ "id": "use", "action": "act", "requires": { "b": "v1" } })),
        [
            "2 use: act, needs b=v1 (step), needs a=v0 (act), needs a=v1 (far)",
            "Done, then a=v0|v1, then c=v0|v1, then b=v0, to 0 done",
        ]
    );
    assert_eq!(
        found(json!({ "id": "use", "action": "act", "leaves": { "a": "v1" }, "disturbs": ["b"] })),
        [
            "2 use: act, needs a=v0 (act), needs a=v1 (far)",
            "Done, then a=v1, then c=v0|v1, then b=v0|v1, to 0 done",
        ],
        "what the step itself says comes last"
    );
}

#[test]
fn what_fails_leaves_only_what_is_disturbed() {
    let confirm = json!({
        "id": "look", "confirm": { "a": "v0", "b": "v1" }, "otherwise": "stop", "leaves": { "b": "v0" }, "disturbs": ["a"]
    });
    assert_eq!(
        one(confirm),
        [
            "2 look: confirm a=v0 b=v1",
            "Pass, if a=v0 b=v1, then a=v0|v1, then b=v0, to 3 last",
            "Fail, if not a=v0 b=v1, then a=v0|v1, to 1 stop",
        ]
    );
}

#[test]
fn every_attempt_of_a_reading_finds_out_anew_and_only_the_first_asks() {
    let measure = |shows: Value, retests: u32| {
        json!({
            "id": "read", "requires": { "b": "v0" }, "otherwise": "stop", "leaves": { "b": "v1" }, "disturbs": ["a"],
            "measure": { "what": "it", "instrument": "gauge", "at_least": "1 V", "shows": shows, "retests": retests }
        })
    };
    assert_eq!(
        one(measure(json!({ "a": "v1" }), 2)),
        [
            "2 read: reading 1 of 3, needs b=v0 (step)",
            "Pass, any a, if a=v1, then a=v0|v1, then b=v1, to 3 last",
            "Fail, any a, if not a=v1, then a=v0|v1, to 4 read",
            "4 read: reading 2 of 3",
            "Pass, any a, if a=v1, then a=v0|v1, then b=v1, to 3 last",
            "Fail, any a, if not a=v1, then a=v0|v1, to 5 read",
            "5 read: reading 3 of 3",
            "Pass, any a, if a=v1, then a=v0|v1, then b=v1, to 3 last",
            "Fail, any a, if not a=v1, then a=v0|v1, to 1 stop",
        ]
    );
    assert_eq!(
        one(measure(json!({}), 0)),
        [
            "2 read: reading 1 of 1, needs b=v0 (step)",
            "Pass, then a=v0|v1, then b=v1, to 3 last",
            "Fail, then a=v0|v1, to 1 stop",
        ],
        "a reading that shows nothing may come out either way"
    );
}

#[test]
fn a_wait_takes_its_time_and_finds_out_what_it_waits_for() {
    let time = json!({ "id": "wait", "wait": { "for": "1.5 min" }, "leaves": { "a": "v1" } });
    assert_eq!(one(time), ["2 wait: wait", "Done, then a=v1, after 90000, to 3 last"]);
    let purge = json!({ "id": "wait", "wait": { "for": "$purge" } });
    assert_eq!(
        one(purge),
        ["2 wait: wait", "Done, after 5000 if tip=small, after 15000 if tip=large, to 3 last"]
    );
    let until = json!({
        "id": "wait", "wait": { "until": { "a": "v1" }, "limit": "30 s", "for": "6 s" },
        "otherwise": "stop", "leaves": { "b": "v1" }, "disturbs": ["a"]
    });
    assert_eq!(
        one(until),
        [
            "2 wait: wait a=v1",
            "Pass, any a, if a=v1, then a=v0|v1, then b=v1, after 6000, to 3 last",
            "Fail, any a, if not a=v1, then a=v0|v1, after 6000, to 1 stop",
        ]
    );
}

#[test]
fn an_answer_leads_where_it_says_and_may_show_something() {
    let ask = json!({
        "id": "which", "ask": "Which?", "leaves": { "b": "v1" }, "requires": { "b": "v0" },
        "answers": { "x": { "shows": { "a": "v1" }, "then": "last" }, "y": "stop" }
    });
    assert_eq!(
        one(ask),
        [
            "2 which: ask, needs b=v0 (step)",
            "Answer(0), if a=v1, then b=v1, to 3 last",
            "Answer(1), then b=v1, to 1 stop",
        ]
    );
}

#[test]
fn a_step_for_some_variants_is_passed_over_for_the_others() {
    let only = json!({ "id": "some", "do": "Act.", "requires": { "a": "v0" }, "only": { "tip": "small" }, "then": "stop" });
    assert_eq!(
        one(only),
        [
            "2 some: route",
            "Applies, if tip=small, to 4 some",
            "PassedOver, if not tip=small, to 3 last",
            "4 some: act, needs a=v0 (step)",
            "Done, to 1 stop",
        ],
        "who passes it over does not follow its `then`"
    );
}

#[test]
fn items_return_to_the_choice_and_their_block_ends_when_all_are_done() {
    let steps = json!([
        {
            "id": "group", "requires": { "a": "v0" }, "leaves": { "b": "v1" },
            "any_order": [
                { "id": "one", "do": "Act." },
                { "id": "other", "ask": "Go on?", "answers": { "yes": "end", "no": "stop" } }
            ]
        },
        {
            "id": "again",
            "any_order": [
                { "id": "x", "do": "Act.", "then": "end" },
                { "id": "y", "do": "Act.", "only": { "tip": "small" } }
            ]
        },
        { "id": "end", "do": "Act." }
    ]);
    let machine = compiled(json!({ "a": two(), "b": two() }), json!({}), steps);
    assert_eq!(
        listing(&machine),
        [
            "2 group: enter, needs a=v0 (step)",
            "Done, to 5 group",
            "3 again: enter",
            "Done, to 8 again",
            "4 end: act",
            "Done, to 0 done",
            "5 group: any of 2",
            "Item(0), to 6 group/one",
            "Item(1), to 7 group/other",
            "AllItems, then b=v1, to 3 again",
            "6 group/one: act",
            "Done, finishes 0, to 5 group",
            "7 group/other: ask",
            "Answer(0), to 4 end",
            "Answer(1), to 1 stop",
            "8 again: any of 2",
            "Item(0), to 9 again/x",
            "Item(1), to 10 again/y",
            "AllItems, to 4 end",
            "9 again/x: act",
            "Done, to 4 end",
            "10 again/y: route",
            "Applies, if tip=small, to 11 again/y",
            "PassedOver, if not tip=small, finishes 1, to 8 again",
            "11 again/y: act",
            "Done, finishes 1, to 8 again",
        ]
    );
    let blocks: Vec<Option<u32>> = machine.nodes[2..].iter().map(|node| node.block).collect();
    let (none, first, second) = (None, Some(0), Some(1));
    assert_eq!(blocks, [none, none, none, first, first, first, second, second, second, second]);
}

#[test]
fn rounds_are_written_out_and_the_last_leads_elsewhere() {
    let steps = json!([
        {
            "id": "rounds", "requires": { "b": "v0" }, "leaves": { "b": "v1" }, "disturbs": ["a"], "otherwise": "stop",
            "repeat": { "until": { "a": "v1" }, "at_most": 2, "steps": [
                { "id": "try", "do": "Act." }, { "id": "then", "do": "Act.", "then": "end" }
            ] }
        },
        { "id": "end", "do": "Act." }
    ]);
    let machine = compiled(json!({ "a": two(), "b": two() }), json!({}), steps);
    assert_eq!(
        listing(&machine),
        [
            "2 rounds: enter, needs b=v0 (step)",
            "Done, to 6 rounds/try",
            "3 end: act",
            "Done, to 0 done",
            "4 rounds: round 1 of 2 until a=v1",
            "Pass, if a=v1, then a=v0|v1, then b=v1, to 3 end",
            "Fail, if not a=v1, to 8 rounds/try",
            "5 rounds: round 2 of 2 until a=v1",
            "Pass, if a=v1, then a=v0|v1, then b=v1, to 3 end",
            "Fail, if not a=v1, then a=v0|v1, to 1 stop",
            "6 rounds/try: act",
            "Done, to 7 rounds/then",
            "7 rounds/then: act",
            "Done, to 3 end",
            "8 rounds/try: act",
            "Done, to 9 rounds/then",
            "9 rounds/then: act",
            "Done, to 3 end",
        ]
    );
    let rounds: Vec<&[u32]> = machine.nodes[2..].iter().map(|node| &node.rounds[..]).collect();
    assert_eq!(rounds, [&[][..], &[], &[], &[], &[1], &[1], &[2], &[2]]);
    let pointers: Vec<&str> = machine.nodes[2..].iter().map(|node| &*node.pointer).collect();
    let (own, first, second) = ("/steps/0", "/steps/0/repeat/steps/0", "/steps/0/repeat/steps/1");
    assert_eq!(pointers, [own, "/steps/1", own, own, first, second, first, second]);
}

#[test]
fn the_last_step_of_a_round_asks_whether_it_was_the_last() {
    let steps = json!([{
        "id": "rounds", "otherwise": "stop",
        "repeat": { "until": { "a": "v1" }, "at_most": 1, "steps": [{ "id": "try", "do": "Act." }] }
    }]);
    let machine = compiled(json!({ "a": two() }), json!({}), steps);
    assert_eq!(
        listing(&machine)[5..],
        ["4 rounds/try: act", "Done, to 3 rounds"][..],
        "{:?}",
        listing(&machine)
    );
}

#[test]
fn a_performed_procedure_is_written_out_where_it_stands() {
    let inner = procedure(
        "inner",
        json!({ "a": "v1" }),
        json!({}),
        json!([{ "id": "in", "do": "Act.", "then": "done" }, { "id": "out", "do": "Act." }]),
    );
    let main = |leaves: Value| {
        let perform = json!({ "id": "run", "perform": "inner", "requires": { "b": "v0" }, "leaves": leaves });
        procedure("main", json!({}), json!({}), json!([perform, { "id": "end", "do": "Act." }]))
    };
    let rig = equipment(json!({ "a": two(), "b": two() }), json!({}));
    let machine = compiled_on(&rig, &[inner.clone(), main(json!({ "b": "v1" }))]);
    assert_eq!(
        listing(&machine),
        [
            "2 run: enter, needs b=v0 (step), needs a=v1 (inner)",
            "Done, to 5 run/in",
            "3 end: act",
            "Done, to 0 done",
            "4 run: route",
            "Done, then b=v1, to 3 end",
            "5 run/in: act",
            "Done, to 4 run",
            "6 run/out: act",
            "Done, to 4 run",
        ]
    );
    let whose: Vec<&str> = machine.nodes.iter().map(|node| &*node.procedure.0).collect();
    assert_eq!(whose, ["main", "main", "main", "main", "main", "inner", "inner"]);
    assert_ne!(machine.nodes[5].source, machine.nodes[2].source);
    let machine = compiled_on(&rig, &[inner, main(json!({}))]);
    assert_eq!(
        listing(&machine)[4..],
        ["4 run/in: act", "Done, to 3 end", "5 run/out: act", "Done, to 3 end"][..]
    );
}

#[test]
fn a_name_leads_to_the_closest_list_outwards() {
    let steps = json!([
        { "id": "group", "any_order": [
            { "id": "one", "repeat": { "until": { "a": "v1" }, "at_most": 1, "steps": [
                { "id": "x", "do": "Act.", "then": "y" },
                { "id": "z", "do": "Act.", "then": "end" },
                { "id": "y", "do": "Act.", "then": "done" }
            ] }, "otherwise": "end" },
            { "id": "two", "do": "Act." }
        ] },
        { "id": "end", "do": "Act." }
    ]);
    let machine = compiled(json!({ "a": two() }), json!({}), steps);
    let leads = |path: &str| {
        let node = machine.nodes.iter().find(|node| node.path == path).expect("a step");
        machine.node(node.outcomes[0].to.node).path.clone()
    };
    assert_eq!(leads("group/one/x"), "group/one/y");
    assert_eq!((leads("group/one/z").as_str(), leads("group/one/y").as_str()), ("end", "done"));
}

#[test]
fn the_equipment_becomes_tables() {
    let mut hv = voltage();
    hv["settles"]["while"] = json!({ "cover": "shut" });
    let mut rig = equipment(
        json!({
            "hv": hv,
            "cover": { "values": ["shut", "open"], "normal": "shut", "ask": "Is it?", "lapses": "5 min" },
            "seal": {
                "values": ["whole", "torn"], "normal": "whole", "lapses": "10 min",
                "lost_when": [{ "cover": "open" }, { "hv": "present" }]
            }
        }),
        json!({ "r": { "when": { "hv": "present", "cover": "open" }, "hazard": "harm" } }),
    );
    rig["work"]["near"]["requires"] = json!({ "hv": "gone" });
    rig["safe_state"] = json!({ "cover": "shut" });
    rig["actions"]["close"] = json!({
        "do": "Act.", "restores": true, "requires": { "seal": "whole" }, "work": "near", "disturbs": ["seal"],
        "leaves": { "cover": "shut" }
    });
    let steps = json!([{ "id": "act", "do": "Act." }]);
    let machine =
        compiled_on(&rig, &[procedure("main", json!({ "cover": "open" }), json!({ "hv": "gone" }), steps)]);
    let words = |conjunct| membership(&machine, conjunct);
    let names: Vec<&str> = machine.layout.ids().map(|var| &*machine.layout.var(var).name.0).collect();
    assert_eq!(names, ["tip", "hv", "cover", "seal"], "variants first");
    let promised = |list: &[machine::Promise]| -> Vec<String> {
        list.iter().map(|one| format!("{} {:?}", words(one.conjunct), one.source)).collect()
    };
    assert_eq!(promised(&machine.asked), ["cover=open Leaves", "seal=whole Normal"]);
    assert_eq!(promised(&machine.promises), ["hv=gone Leaves", "cover=shut Normal", "seal=whole Normal"]);
    assert_eq!(conjunction(&machine, &machine.rules[0].when), "hv=present cover=open");
    let [settling] = &machine.settling[..] else { panic!("one settles") };
    let var = settling.var;
    let settled = [settling.from, settling.to].map(|set| words(machine::Conjunct { var, set }));
    assert_eq!((settled.join(" "), settling.after), ("hv=present hv=gone".to_owned(), 10_000));
    let holds = settling.holds.as_ref().map(|holds| conjunction(&machine, holds));
    assert_eq!(holds.as_deref(), Some("cover=shut"));
    let lost: Vec<String> = machine.lost_when.iter().map(|lost| conjunction(&machine, &lost.when)).collect();
    assert_eq!(lost, ["cover=open", "hv=present"], "any of them");
    assert!(machine.lost_when.iter().all(|lost| machine.layout.var(lost.var).name.0 == "seal"));
    assert_eq!(machine.lapses.iter().map(|(_, after)| *after).collect::<Vec<_>>(), [300_000, 600_000]);
    assert_eq!(machine.askable, [true, false, true, false], "a variant can always be told");
    let [close] = &machine.restoring[..] else { panic!("one action restores") };
    assert_eq!(conjunction(&machine, &close.needs), "seal=whole hv=gone");
    assert_eq!(
        close.sets.iter().map(|&set| words(set)).collect::<Vec<_>>(),
        ["seal=whole|torn", "cover=shut"]
    );
    assert_eq!(machine.rest.as_ref().map(|rest| conjunction(&machine, rest)).as_deref(), Some("cover=shut"));
}
