//! What each kind of step becomes, node by node, worked out by hand.

use crate::{compiled, compiled_on, conjunction, effect, membership, outcome, two, voltage};
use machine::{LookKind, Machine, NeedSource, Node, NodeKind, Tick};
use oracle::{equipment, procedure};
use serde_json::{Value, json};

/// Every node but the two ends: number, path, what a person meets, what it needs, where its outcomes lead.
pub(super) fn listing(machine: &Machine) -> Vec<String> {
    let nodes = machine.nodes.iter().enumerate().skip(2);
    let line = |(at, node): (usize, &Node)| {
        let mut words = format!("{at} {}: {}", node.path, kind(machine, node));
        for need in &node.needs {
            let by = match &need.source {
                NeedSource::Step => "step",
                NeedSource::Work(name) | NeedSource::Action(name) | NeedSource::Procedure(name) => name,
                NeedSource::Sight(name) => name,
            };
            words += &format!(", needs {} ({by})", membership(machine, need.conjunct));
        }
        let outcomes = node.outcomes.iter().map(|one| outcome(machine, one));
        [vec![words], outcomes.collect()].concat()
    };
    nodes.flat_map(line).collect()
}

fn kind(machine: &Machine, node: &Node) -> String {
    match node.kind {
        NodeKind::End => "end".to_owned(),
        NodeKind::Route => "route".to_owned(),
        NodeKind::Enter => "enter".to_owned(),
        NodeKind::Act => "act".to_owned(),
        NodeKind::InAct { act, written } => format!("{written} written of {}", act.0),
        NodeKind::Follows { of, left } => format!("follows {}, left {}", of.0, left.0),
        NodeKind::Tick(tick) => {
            let look = match tick.look {
                LookKind::Confirm => "confirm".to_owned(),
                LookKind::Until => "until".to_owned(),
                LookKind::Round { round, rounds } => format!("round {round} of {rounds}"),
            };
            let failed = if tick.failed { format!(" failed, as {}", tick.whole.0) } else { String::new() };
            let Tick { first, number, of, asked, .. } = tick;
            format!("{look} {number} of {of} from {}: {}{failed}", first.0, membership(machine, asked))
        }
        NodeKind::Measure { attempt, attempts } => format!("reading {attempt} of {attempts}"),
        NodeKind::Wait => "wait".to_owned(),
        NodeKind::Ask => "ask".to_owned(),
        NodeKind::Hold => "hold".to_owned(),
        NodeKind::AnyOrder { items } => format!("any of {items}"),
        NodeKind::Verify { of } => format!("verify {}", of.0),
    }
}

/// The nodes of one step, with `last` behind it.
pub(super) fn one(step: Value) -> Vec<String> {
    listing(&compiled(
        json!({ "a": two(), "b": two() }),
        json!({}),
        json!([step, { "id": "last", "do": "Act." }]),
    ))
    .into_iter()
    .filter(|line| line != "3 last: act" && line != "Done, mend, to 0 done")
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
            "Done, then b=v1, to 6 first",
            "3 middle: hold",
            "Done, absent, to 7 middle",
            "4 last: act",
            "Done, mend, to 1 stop",
            "5 first: 2 written of 2",
            "Done, then any b, mend, to 4 last",
            "6 first: 1 written of 2",
            "Done, then any a, to 5 first",
            "7 middle: follows 3, left 3",
            "Done, then a=v1, absent, to 4 last",
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
            "Done, then b=v0, to 4 use",
            "3 use: 2 written of 2",
            "Done, then any c, mend, to 0 done",
            "4 use: 1 written of 2",
            "Done, then any a, to 3 use",
        ]
    );
    assert_eq!(
        found(json!({ "id": "use", "action": "act", "leaves": { "a": "v1" }, "disturbs": ["b"] })),
        [
            "2 use: act, needs a=v0 (act), needs a=v1 (far)",
            "Done, then b=v0, to 6 use",
            "3 use: 4 written of 2",
            "Done, then any b, mend, to 0 done",
            "4 use: 3 written of 2",
            "Done, then a=v1, to 3 use",
            "5 use: 2 written of 2",
            "Done, then any c, to 4 use",
            "6 use: 1 written of 2",
            "Done, then any a, to 5 use",
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
            "2 look: confirm 1 of 2 from 2: a=v0",
            "Pass, sees a=v0, to 4 look",
            "Fail, sees a=v1, to 8 look",
            "CannotTell, loses a, to 8 look",
            "4 look: confirm 2 of 2 from 2: b=v1",
            "Pass, sees b=v1, to 6 look",
            "Fail, sees b=v0, to 7 look",
            "CannotTell, loses b, to 7 look",
            "5 look: follows 2, left 4",
            "Done, then any a, may, to 3 last",
            "6 look: follows 2, left 4",
            "Done, then b=v0, to 5 look",
            "7 look: follows 2, left 4",
            "Done, then any a, may, to 1 stop",
            "8 look: confirm 2 of 2 from 2: b=v1 failed, as 4",
            "Pass, sees b=v1, to 7 look",
            "Fail, sees b=v0, to 7 look",
            "CannotTell, loses b, to 7 look",
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
            "Pass, finds a=v1, may, to 6 read",
            "Fail, finds a=v0, may, to 7 read",
            "CannotTell, loses a, may, to 7 read",
            "4 read: reading 2 of 3, needs b=v0 (step)",
            "Pass, finds a=v1, may, to 10 read",
            "Fail, finds a=v0, may, to 11 read",
            "CannotTell, loses a, may, to 11 read",
            "5 read: follows 2, left 2",
            "Done, then any a, may, to 3 last",
            "6 read: follows 2, left 2",
            "Done, then b=v1, to 5 read",
            "7 read: follows 2, left 2",
            "Done, then any a, may, to 4 read",
            "8 read: reading 3 of 3, needs b=v0 (step)",
            "Pass, finds a=v1, may, to 13 read",
            "Fail, finds a=v0, may, to 14 read",
            "CannotTell, loses a, may, to 14 read",
            "9 read: follows 4, left 4",
            "Done, then any a, may, to 3 last",
            "10 read: follows 4, left 4",
            "Done, then b=v1, to 9 read",
            "11 read: follows 4, left 4",
            "Done, then any a, may, to 8 read",
            "12 read: follows 8, left 8",
            "Done, then any a, may, to 3 last",
            "13 read: follows 8, left 8",
            "Done, then b=v1, to 12 read",
            "14 read: follows 8, left 8",
            "Done, then any a, may, to 1 stop",
        ]
    );
    assert_eq!(
        one(measure(json!({}), 0)),
        [
            "2 read: reading 1 of 1, needs b=v0 (step)",
            "Pass, may, to 5 read",
            "Fail, may, to 6 read",
            "4 read: follows 2, left 2",
            "Done, then any a, may, to 3 last",
            "5 read: follows 2, left 2",
            "Done, then b=v1, to 4 read",
            "6 read: follows 2, left 2",
            "Done, then any a, may, to 1 stop",
        ],
        "a reading that shows nothing may come out either way"
    );
}

#[test]
fn what_a_second_person_verifies_is_a_place_of_its_own() {
    let verified = |mut step: Value| {
        step["id"] = json!("step");
        step["verified_by"] = json!("technician");
        one(step)
    };
    assert_eq!(
        verified(json!({ "do": "Act.", "leaves": { "a": "v1" }, "disturbs": ["b"] })),
        [
            "2 step: act",
            "Done, then a=v1, to 5 step",
            "4 step: verify 2",
            "Pass, verifies a, verifies b, to 3 last",
            "Fail, loses a, loses b, to 1 stop",
            "5 step: 1 written of 2",
            "Done, then any b, mend, to 4 step",
        ]
    );
    assert_eq!(
        verified(json!({ "confirm": { "a": "v0" }, "otherwise": "stop" })),
        [
            "2 step: confirm 1 of 1 from 2: a=v0",
            "Pass, sees a=v0, to 4 step",
            "Fail, sees a=v1, to 1 stop",
            "CannotTell, loses a, to 1 stop",
            "4 step: verify 2",
            "Pass, to 3 last",
            "Fail, loses a, to 1 stop",
        ],
        "of a look done by one and denied by the other the later counts"
    );
    let held =
        ["2 step: hold", "Done, absent, to 4 step", "4 step: verify 2", "Pass, to 3 last", "Fail, to 1 stop"];
    assert_eq!(verified(json!({ "hold": { "released_by": "technician", "check": "Look." } })), held);
    let steps = json!([{ "id": "step", "do": "Act.", "work": "near" }]);
    let mut rig = equipment(json!({ "a": two() }), json!({}));
    rig["work"]["near"]["verified_by"] = json!("technician");
    let machine = compiled_on(&rig, &[procedure("main", json!({}), json!({}), steps)]);
    assert_eq!(listing(&machine)[2..], ["3 step: verify 2", "Pass, to 0 done", "Fail, to 1 stop"][..]);
}

#[test]
fn a_wait_takes_its_time_and_finds_out_what_it_waits_for() {
    let time = json!({ "id": "wait", "wait": { "for": "1.5 min" }, "leaves": { "a": "v1" } });
    assert_eq!(
        one(time),
        [
            "2 wait: wait",
            "Done, after 90000, absent, to 4 wait",
            "4 wait: follows 2, left 2",
            "Done, then a=v1, absent, to 3 last",
        ]
    );
    let purge = json!({ "id": "wait", "wait": { "for": "$purge" } });
    assert_eq!(
        one(purge),
        ["2 wait: wait", "Done, after 5000 if tip=small, after 15000 if tip=large, absent, to 3 last",]
    );
    let until = json!({
        "id": "wait", "wait": { "until": { "a": "v1" }, "limit": "30 s", "for": "6 s" },
        "otherwise": "stop", "leaves": { "b": "v1" }, "disturbs": ["a"]
    });
    assert_eq!(
        one(until),
        [
            "2 wait: until 1 of 1 from 2: a=v1",
            "Pass, after 6000, finds a=v1, to 5 wait",
            "Fail, after 6000, finds a=v0, to 6 wait",
            "CannotTell, after 6000, loses a, to 6 wait",
            "4 wait: follows 2, left 2",
            "Done, then any a, may, to 3 last",
            "5 wait: follows 2, left 2",
            "Done, then b=v1, to 4 wait",
            "6 wait: follows 2, left 2",
            "Done, then any a, may, to 1 stop",
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
            "Answer(0), sees a=v1, may, to 4 which",
            "Answer(1), may, to 5 which",
            "CannotTell, loses a, may, to 1 stop",
            "4 which: follows 2, left 2",
            "Done, then b=v1, may, to 3 last",
            "5 which: follows 2, left 2",
            "Done, then b=v1, may, to 1 stop",
        ]
    );
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
    let told = |conjunct, source: machine::PromiseSource| format!("{} {source:?}", words(conjunct));
    let asked: Vec<String> = machine.asked.iter().map(|one| told(one.conjunct, one.source)).collect();
    assert_eq!(asked, ["cover=open Leaves"], "nothing relies on the seal");
    let promised: Vec<String> = machine.promises.iter().map(|one| told(one.conjunct, one.source)).collect();
    assert_eq!(promised, ["hv=gone Leaves", "cover=shut Normal", "seal=whole Normal"]);
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
    let asked: Vec<bool> = machine.layout.ids().map(|var| machine.sight(var).is_asked).collect();
    assert_eq!(asked, [true, false, true, false], "a variant can always be told");
    let [close] = &machine.restoring[..] else { panic!("one action restores") };
    assert_eq!(conjunction(&machine, &close.needs), "seal=whole hv=gone");
    let effects: Vec<String> = close.effects.iter().map(|&one| effect(&machine, one)).collect();
    assert_eq!(effects, ["then cover=shut", "then any seal"]);
    assert_eq!(machine.rest.as_ref().map(|rest| conjunction(&machine, rest)).as_deref(), Some("cover=shut"));
}

/// A condition of three values of which these have a question of their own.
fn asked_by_value(values: &[&str]) -> Value {
    let questions = values.iter().map(|&value| (value.to_owned(), json!(format!("Is it {value}?"))));
    json!({ "values": ["v0", "v1", "v2"], "ask": Value::Object(questions.collect()) })
}

/// Every "no" is asked on about what it is instead, where each value left has a question and there are two of them.
#[test]
fn who_says_that_it_is_not_so_is_asked_what_it_is() {
    let looks = |a: Value, step: Value| {
        let machine = compiled(json!({ "a": a, "b": two() }), json!({}), json!([step]));
        let lines = listing(&machine).into_iter();
        lines.filter(|line| line.contains("sees") || line.contains("finds")).collect::<Vec<_>>()
    };
    let confirm =
        |asked: Value| json!({ "id": "look", "confirm": { "a": asked, "b": "v0" }, "otherwise": "stop" });
    let all = asked_by_value(&["v2", "v1", "v0"]);
    let of_b = |at: u32| format!("Pass, sees b=v0, to {at} done");
    assert_eq!(
        looks(all.clone(), confirm(json!("v1"))),
        [
            "Pass, sees a=v1, to 3 look",
            "Fail, sees a=v0|v2, to 4 look",
            "Is(0), sees a=v0, to 4 look",
            "Is(2), sees a=v2, to 4 look",
            &of_b(0),
            "Fail, sees b=v1, to 1 stop",
            "Pass, sees b=v0, to 1 stop",
            "Fail, sees b=v1, to 1 stop",
        ]
    );
    let only_one_is_left = looks(all.clone(), confirm(json!(["v0", "v1"])));
    assert_eq!(only_one_is_left[1..3], ["Fail, sees a=v2, to 4 look".to_owned(), of_b(0)]);
    let left_have_questions = looks(asked_by_value(&["v0", "v2"]), confirm(json!("v1")));
    assert_eq!(left_have_questions[2], "Is(0), sees a=v0, to 4 look");
    let one_has_none = looks(asked_by_value(&["v0", "v1"]), confirm(json!("v1")));
    assert_eq!(one_has_none[1..3], ["Fail, sees a=v0|v2, to 4 look".to_owned(), of_b(0)]);
    let one_question = json!({ "values": ["v0", "v1", "v2"], "ask": "Is it v0?" });
    assert_eq!(looks(one_question, confirm(json!("v1"))), one_has_none);
    let until = json!({
        "id": "wait", "wait": { "until": { "a": "v0" }, "limit": "30 s", "for": "6 s" }, "otherwise": "stop"
    });
    assert_eq!(
        looks(all.clone(), until),
        [
            "Pass, after 6000, finds a=v0, to 0 done",
            "Fail, after 6000, finds a=v1|v2, to 1 stop",
            "Is(1), after 6000, finds a=v1, to 1 stop",
            "Is(2), after 6000, finds a=v2, to 1 stop",
        ]
    );
    let repeat = json!({
        "id": "rounds", "repeat": { "steps": [{ "id": "try", "do": "Act." }], "until": { "a": "v0" }, "at_most": 2 },
        "otherwise": "stop"
    });
    assert_eq!(
        looks(all.clone(), repeat),
        [
            "Pass, sees a=v0, to 0 done",
            "Fail, sees a=v1|v2, to 6 rounds/try",
            "Is(1), sees a=v1, to 6 rounds/try",
            "Is(2), sees a=v2, to 6 rounds/try",
            "Pass, sees a=v0, to 0 done",
            "Fail, sees a=v1|v2, to 1 stop",
            "Is(1), sees a=v1, to 1 stop",
            "Is(2), sees a=v2, to 1 stop",
        ]
    );
    let measure = json!({
        "id": "read", "otherwise": "stop",
        "measure": { "what": "it", "instrument": "gauge", "at_least": "1 V", "shows": { "a": "v0" } }
    });
    assert_eq!(
        looks(all, measure),
        ["Pass, finds a=v0, may, to 0 done", "Fail, finds a=v1|v2, may, to 1 stop"],
        "a reading is not asked on"
    );
}
