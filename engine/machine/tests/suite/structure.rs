//! What steps that hold others become, and where names lead, worked out by hand.

use crate::compiled::{listing, one};
use crate::{compiled, compiled_on, two};
use oracle::{equipment, procedure};
use serde_json::{Value, json};

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
            "Done, mend, to 1 stop",
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
            "Done, to 9 again",
            "4 end: act",
            "Done, mend, to 0 done",
            "5 group: any of 2",
            "Item(0), to 7 group/one",
            "Item(1), to 8 group/other",
            "AllItems, to 6 group",
            "6 group: follows 5, left 5",
            "Done, then b=v1, absent, to 3 again",
            "7 group/one: act, needs a=v0 (step)",
            "Done, mend, finishes 0, to 5 group",
            "8 group/other: ask, needs a=v0 (step)",
            "Answer(0), may, to 4 end",
            "Answer(1), may, to 1 stop",
            "9 again: any of 2",
            "Item(0), to 10 again/x",
            "Item(1), to 11 again/y",
            "AllItems, to 4 end",
            "10 again/x: act",
            "Done, mend, to 4 end",
            "11 again/y: route",
            "Applies, if tip=small, to 12 again/y",
            "PassedOver, if not tip=small, finishes 1, to 9 again",
            "12 again/y: act",
            "Done, mend, finishes 1, to 9 again",
        ]
    );
    let blocks: Vec<Option<u32>> = machine.nodes[2..].iter().map(|node| node.block).collect();
    let (none, first, second) = (None, Some(0), Some(1));
    assert_eq!(
        blocks,
        [none, none, none, first, none, first, first, second, second, second, second],
        "what the block leaves follows outside it"
    );
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
            "Done, mend, to 0 done",
            "4 rounds: round 1 of 2 1 of 1 from 4: a=v1, needs b=v0 (step)",
            "Pass, sees a=v1, to 11 rounds",
            "Fail, sees a=v0, to 12 rounds",
            "CannotTell, loses a, to 12 rounds",
            "5 rounds: round 2 of 2 1 of 1 from 5: a=v1, needs b=v0 (step)",
            "Pass, sees a=v1, to 14 rounds",
            "Fail, sees a=v0, to 15 rounds",
            "CannotTell, loses a, to 15 rounds",
            "6 rounds/try: act, needs b=v0 (step)",
            "Done, mend, to 7 rounds/then",
            "7 rounds/then: act",
            "Done, mend, to 3 end",
            "8 rounds/try: act, needs b=v0 (step)",
            "Done, mend, to 9 rounds/then",
            "9 rounds/then: act",
            "Done, mend, to 3 end",
            "10 rounds: follows 4, left 4",
            "Done, then any a, may, to 3 end",
            "11 rounds: follows 4, left 4",
            "Done, then b=v1, to 10 rounds",
            "12 rounds: follows 4, left 4",
            "Done, then any a, may, to 8 rounds/try",
            "13 rounds: follows 5, left 5",
            "Done, then any a, may, to 3 end",
            "14 rounds: follows 5, left 5",
            "Done, then b=v1, to 13 rounds",
            "15 rounds: follows 5, left 5",
            "Done, then any a, may, to 1 stop",
        ]
    );
    let rounds: Vec<&[u32]> = machine.nodes[2..].iter().map(|node| &node.rounds[..]).collect();
    assert_eq!(rounds[..8], [&[][..], &[], &[], &[], &[1], &[1], &[2], &[2]]);
    let pointers: Vec<&str> = machine.nodes[2..].iter().map(|node| &*node.pointer).collect();
    let (own, first, second) = ("/steps/0", "/steps/0/repeat/steps/0", "/steps/0/repeat/steps/1");
    assert_eq!(pointers[..8], [own, "/steps/1", own, own, first, second, first, second]);
    assert!(pointers[8..].iter().all(|pointer| *pointer == own), "what follows belongs to the step itself");
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
        ["CannotTell, loses a, to 1 stop", "4 rounds/try: act", "Done, mend, to 3 rounds"][..],
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
            "Done, mend, to 0 done",
            "4 run: follows 4, left 4",
            "Done, then b=v1, absent, to 3 end",
            "5 run/in: act",
            "Done, mend, to 4 run",
            "6 run/out: act",
            "Done, mend, to 4 run",
        ]
    );
    let whose: Vec<&str> = machine.nodes.iter().map(|node| &*node.procedure.0).collect();
    assert_eq!(whose, ["main", "main", "main", "main", "main", "inner", "inner"]);
    assert_ne!(machine.nodes[5].source, machine.nodes[2].source);
    let machine = compiled_on(&rig, &[inner, main(json!({}))]);
    assert_eq!(
        listing(&machine)[4..],
        ["4 run/in: act", "Done, mend, to 3 end", "5 run/out: act", "Done, mend, to 3 end",][..]
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
