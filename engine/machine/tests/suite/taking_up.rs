//! What is relied on, what is asked at the start and what becomes of it where work is taken up again, worked out by hand.

use crate::{compiled, compiled_on, two, voltage};
use machine::{AbstractState, Machine, NodeId, NodeKind, Place, TakingUp, VarId};
use oracle::{equipment, procedure};
use serde_json::{Value, json};
use std::collections::BTreeSet;

/// The names of what is relied on at a step, with these items done, where these conditions were written.
fn relied(machine: &Machine, path: &str, items: u32, wrote: &[&str]) -> String {
    let node = machine.nodes.iter().position(|node| node.path == path).expect("that step");
    // The step itself stands behind whatever enters it.
    let place = Place { items, ..Place::at(NodeId(node as u32)) };
    let wrote = wrote.iter().map(|name| var(machine, name)).collect();
    let reliance = machine.reliance();
    let all = machine.layout.ids().filter(|&var| reliance.relies(place, var, &wrote));
    names(machine, all)
}

fn var(machine: &Machine, name: &str) -> VarId {
    machine.layout.find(name).expect("that condition")
}

fn names(machine: &Machine, vars: impl Iterator<Item = VarId>) -> String {
    vars.map(|var| machine.layout.var(var).name.to_string()).collect::<Vec<_>>().join(" ")
}

fn a_and_b() -> Value {
    json!({ "a": two(), "b": two() })
}

#[test]
fn what_is_written_or_looked_at_before_it_is_read_is_not_relied_on() {
    let before = |first: Value| {
        let mut first = first;
        first["id"] = json!("first");
        let read = json!({ "id": "read", "do": "Act.", "requires": { "a": "v0" } });
        relied(&compiled(a_and_b(), json!({}), json!([first, read])), "first", 0, &[])
    };
    assert_eq!(before(json!({ "do": "Act." })), "a");
    assert_eq!(before(json!({ "do": "Act.", "leaves": { "a": "v0" } })), "", "it is written first");
    assert_eq!(before(json!({ "do": "Act.", "requires": { "a": "v0" }, "leaves": { "a": "v0" } })), "a");
    assert_eq!(before(json!({ "confirm": { "a": "v0" }, "otherwise": "stop" })), "", "it is looked at first");
    assert_eq!(before(json!({ "confirm": { "b": "v0" }, "otherwise": "stop" })), "a");
    let asked = json!({ "ask": "Which?", "answers": {
        "yes": { "shows": { "a": "v0" }, "then": "read" }, "no": "read"
    } });
    assert_eq!(before(asked), "a", "one answer shows nothing");
}

#[test]
fn an_act_relies_on_the_rest_of_the_rules_over_what_it_writes() {
    let with = |rules: Value, leaves: Value| {
        let steps = json!([{ "id": "act", "do": "Act.", "leaves": leaves }]);
        let main = procedure("main", json!({}), json!({}), steps);
        relied(&compiled_on(&equipment(a_and_b(), rules), &[main]), "act", 0, &[])
    };
    let rule = || json!({ "r": { "when": { "a": "v1", "b": "v1" }, "hazard": "harm" } });
    assert_eq!(with(rule(), json!({ "a": "v1" })), "b");
    assert_eq!(with(rule(), json!({ "a": "v0" })), "", "what it makes so is no part of the rule");
    assert_eq!(with(json!({}), json!({ "a": "v1" })), "");
    // Conditions change one after the other: when `a` does, `b` is still as it was.
    assert_eq!(with(rule(), json!({ "a": "v1", "b": "v0" })), "b");
    assert_eq!(with(rule(), json!({ "b": "v1", "a": "v0" })), "a");
}

#[test]
fn an_act_relies_on_the_rest_of_what_ends_evidence() {
    let conditions = json!({
        "cover": two(), "power": two(), "tight": { "values": ["yes", "no"], "lost_when": { "cover": "v1", "power": "v1" } }
    });
    let steps = json!([{ "id": "act", "do": "Act.", "leaves": { "cover": "v1" } }]);
    assert_eq!(relied(&compiled(conditions, json!({}), steps), "act", 0, &[]), "power");
}

#[test]
fn a_look_relies_on_the_rest_of_what_ends_evidence_and_on_no_rule() {
    // What is found out may end the evidence, as if it had been written; a look breaks no rule.
    let conditions = json!({
        "cover": two(), "power": two(), "gas": two(),
        "tight": { "values": ["yes", "no"], "lost_when": { "cover": "v1", "power": "v1" } }
    });
    let rules = json!({ "r": { "when": { "cover": "v1", "gas": "v1" }, "hazard": "harm" } });
    let of = |step: Value| {
        let mut step = step;
        step["id"] = json!("step");
        let main = procedure("main", json!({}), json!({}), json!([step]));
        relied(&compiled_on(&equipment(conditions.clone(), rules.clone()), &[main]), "step", 0, &[])
    };
    assert_eq!(of(json!({ "confirm": { "cover": "v0" }, "otherwise": "stop" })), "power");
    assert_eq!(of(json!({ "do": "Act.", "leaves": { "cover": "v1" } })), "power gas");
    assert_eq!(of(json!({ "do": "Act.", "leaves": { "cover": "v0" } })), "", "that ends nothing");
}

#[test]
fn a_verification_is_a_look() {
    let write = json!({ "id": "write", "do": "Act.", "leaves": { "a": "v0" }, "verified_by": "technician" });
    let read = json!({ "id": "read", "do": "Act.", "requires": { "a": "v0" } });
    let machine = compiled(a_and_b(), json!({}), json!([write, read]));
    let verify = machine.nodes.iter().position(|node| matches!(node.kind, NodeKind::Verify { .. }));
    let place = Place::at(NodeId(verify.expect("it is verified") as u32));
    let a = var(&machine, "a");
    assert!(!machine.reliance().relies(place, a, &BTreeSet::new()), "who verifies it looks at it");
}

#[test]
fn a_wait_relies_on_what_time_counts_under() {
    let hv = |under: Value| {
        let mut hv = voltage();
        hv["settles"]["while"] = under;
        json!({ "hv": hv, "isolator": { "values": ["off", "on"], "ask": "Is it off?" } })
    };
    let steps = |wait: Value| {
        json!([
            { "id": "off", "do": "Act." },
            { "id": "pass", "wait": wait },
            { "id": "touch", "do": "Act.", "requires": { "hv": "gone" } }
        ])
    };
    let wait = || json!({ "for": "10 s" });
    let at = |under: Value| relied(&compiled(hv(under), json!({}), steps(wait())), "off", 0, &[]);
    assert_eq!(at(json!({ "isolator": "off" })), "hv isolator");
    assert_eq!(at(json!("none")), "hv");
}

#[test]
fn what_is_usual_is_relied_on_only_of_what_was_written() {
    let mut conditions = json!({ "a": two(), "b": two() });
    conditions["a"]["normal"] = json!("v0");
    conditions["b"]["normal"] = json!("v0");
    let steps =
        json!([{ "id": "act", "do": "Act." }, { "id": "write", "do": "Act.", "leaves": { "b": "v0" } }]);
    let machine = compiled(conditions, json!({}), steps);
    assert_eq!(relied(&machine, "act", 0, &[]), "", "the untouched stays as it was found");
    assert_eq!(relied(&machine, "act", 0, &["a"]), "a");
    assert_eq!(relied(&machine, "act", 0, &["b"]), "", "it is written again before the end");
    assert_eq!(relied(&machine, "done", 0, &["a", "b"]), "a b");
}

#[test]
fn what_an_act_wrote_is_looked_at_again_because_it_has_to_be_as_usual_at_the_end() {
    let usual = json!({ "values": ["v0", "v1"], "ask": "Is it?", "normal": "v0" });
    let steps =
        json!([{ "id": "write", "do": "Act.", "leaves": { "a": "v0" } }, { "id": "end", "do": "Act." }]);
    let machine = compiled(json!({ "a": usual }), json!({ "a": "v0" }), steps);
    let before = machine.start();
    assert_eq!(names(&machine, machine.taking_up(&before).looked_at.into_iter()), "");
    let after = machine.step(&before, 0).remove(0).state;
    assert_eq!(names(&machine, machine.taking_up(&after).looked_at.into_iter()), "a");
}

/// What was bare before the interruption is bare after it: what alone kept that from being a danger is seen again, needed or not.
#[test]
fn what_alone_keeps_a_rule_from_being_broken_is_looked_at_again() {
    let looked_at = |guard: &str, keeps: bool| {
        let supply = json!({ "values": ["off", "on"], "ask": "Is it off?", "keeps": keeps });
        let conditions =
            json!({ "guard": { "values": ["on", "off"], "ask": "Is it on?" }, "supply": supply });
        let rules = json!({ "bare": { "when": { "guard": "off", "supply": "on" }, "hazard": "harm" } });
        let requires = json!({ "guard": guard, "supply": "off" });
        let steps = json!([{ "id": "work", "do": "Act." }]);
        let main = procedure("main", requires, json!({}), steps);
        let machine = compiled_on(&equipment(conditions, rules), &[main]);
        let taken = machine.taking_up(&machine.start());
        assert_eq!(taken.lost, BTreeSet::new());
        names(&machine, taken.looked_at.into_iter())
    };
    assert_eq!(looked_at("off", false), "supply");
    assert_eq!(looked_at("on", false), "", "nothing is bare");
    assert_eq!(looked_at("off", true), "", "it keeps");
}

#[test]
fn a_wait_for_what_is_usual_relies_on_what_its_time_counts_under() {
    let mut hv = voltage();
    hv["settles"]["while"] = json!({ "isolator": "off" });
    hv["normal"] = json!("gone");
    let conditions = json!({ "hv": hv, "isolator": { "values": ["off", "on"] } });
    let steps = json!([{ "id": "act", "do": "Act." }, { "id": "pass", "wait": { "for": "10 s" } }]);
    let machine = compiled(conditions, json!({}), steps);
    assert_eq!(relied(&machine, "act", 0, &[]), "isolator", "whether or not an act has written it yet");
    assert_eq!(relied(&machine, "act", 0, &["hv"]), "hv isolator");
}

#[test]
fn a_block_relies_on_what_an_open_item_reads() {
    let steps = json!([
        { "id": "group", "any_order": [
            { "id": "read", "do": "Act.", "requires": { "a": "v0" } },
            { "id": "write", "do": "Act.", "leaves": { "a": "v0", "b": "v0" } }
        ] },
        { "id": "end", "do": "Act.", "requires": { "a": "v0", "b": "v0" } }
    ]);
    let machine = compiled(a_and_b(), json!({}), steps);
    let choosing = machine.nodes.iter().position(|node| node.block.is_some() && node.path == "group");
    let choosing = NodeId(choosing.expect("it chooses") as u32);
    let reliance = machine.reliance();
    let at = |node: NodeId, items: u32| {
        let on = |var: &VarId| reliance.relies(Place { items, ..Place::at(node) }, *var, &BTreeSet::new());
        names(&machine, machine.layout.ids().filter(on))
    };
    assert_eq!(at(choosing, 0b00), "a", "one item reads it");
    assert_eq!(at(choosing, 0b01), "", "the other writes it");
    assert_eq!(at(choosing, 0b10), "a b");
    assert_eq!(at(choosing, 0b11), "a b");
    assert_eq!(relied(&machine, "group/write", 0b01, &[]), "");
    assert_eq!(
        relied(&machine, "group/write", 0b00, &[]),
        "",
        "who has begun it writes before the other reads"
    );
    assert_eq!(relied(&machine, "group/read", 0b10, &[]), "a b");
    assert_eq!(relied(&machine, "group/read", 0b00, &[]), "a");
}

#[test]
fn a_wait_in_an_item_relies_on_what_its_time_counts_under_where_the_condition_is_read_after_it() {
    let mut hv = voltage();
    hv["settles"]["while"] = json!({ "a": "v0" });
    let conditions = json!({ "hv": hv, "a": two(), "b": two() });
    let with = |pass: Value, other: Value, end: Value| {
        let (mut pass, mut other) = (pass, other);
        (pass["id"], pass["wait"]) = (json!("pass"), json!({ "for": "10 s" }));
        (other["id"], other["do"]) = (json!("other"), json!("Act."));
        let steps = json!([
            { "id": "group", "any_order": [pass, other] },
            { "id": "end", "do": "Act.", "requires": end }
        ]);
        let machine = compiled(conditions.clone(), json!({}), steps);
        let choosing = machine.nodes.iter().position(|node| node.block.is_some() && node.path == "group");
        let node = NodeId(choosing.expect("it chooses") as u32);
        let reliance = machine.reliance();
        let on = |items: u32| {
            let relies =
                |var: &VarId| reliance.relies(Place { items, ..Place::at(node) }, *var, &BTreeSet::new());
            names(&machine, machine.layout.ids().filter(relies))
        };
        [
            on(0b00),
            on(0b01),
            relied(&machine, "group/pass", 0b00, &[]),
            relied(&machine, "group/pass", 0b10, &[]),
        ]
    };
    let at_choice = |other: Value, end: Value| with(json!({}), other, end);
    let gone = || json!({ "hv": "gone" });
    // It is read by the other item, after the block, or by neither.
    assert_eq!(at_choice(json!({ "requires": gone() }), json!({})), ["hv a", "hv", "hv a", ""]);
    assert_eq!(at_choice(json!({}), gone()), ["hv a", "hv", "hv a", "hv a"]);
    assert_eq!(at_choice(json!({}), json!({})), ["", "", "", ""]);
    // The other item writes it: only where that comes first does the wait count, and `a` with it.
    assert_eq!(at_choice(json!({ "leaves": gone() }), gone()), ["a", "", "", "hv a"]);
    assert_eq!(at_choice(json!({ "leaves": { "hv": "gone", "a": "v1" } }), gone()), ["", "", "", "hv a"]);
    // So does the item itself, once its wait is over.
    assert_eq!(
        with(json!({ "leaves": gone() }), json!({ "requires": gone() }), gone()),
        ["hv", "hv", "", ""]
    );
}

/// A panel with a cover over a terminal, a seal that opening it may break, a hidden voltage, and a tag without a question.
fn panel() -> Value {
    let mut hv = voltage();
    hv["settles"]["while"] = json!({ "isolator": "off" });
    json!({
        "isolator": { "values": ["off", "on"], "ask": "Is it off?" },
        "cover": { "values": ["shut", "open"], "ask": "Is it shut?" },
        "terminal": { "values": ["clean", "dirty"], "ask": "Is it clean?", "seen_when": { "cover": "open" } },
        "seal": { "values": ["whole", "torn"], "lost_when": { "cover": "open" } },
        "mark": { "values": ["dry", "wet"], "ask": "Is it dry?", "lost_when": { "cover": "open" } },
        "stamp": { "values": ["dry", "wet"], "ask": "Is it dry?", "lost_when": { "cover": "open" }, "lapses": "1 h" },
        "tag": { "values": ["on", "off"] },
        "plate": { "values": ["fixed", "loose"], "keeps": true },
        "paint": { "values": ["dry", "wet"], "lost_when": { "tag": "off" } },
        "lacquer": { "values": ["dry", "wet"], "lost_when": { "terminal": "dirty" } },
        "heat": { "values": ["gone", "there"],
            "settles": { "from": "there", "to": "gone", "after": "1 min", "while": { "tag": "on" } } },
        "hv": hv
    })
}

/// What taking up before the only step comes to, where that needs what is named and the start asks for everything given.
fn taken_up(asked: Value, needs: Value) -> (Machine, TakingUp) {
    let steps = json!([{ "id": "act", "do": "Act.", "requires": needs }]);
    let machine = compiled(panel(), json!({}), steps);
    let mut state: AbstractState = machine.start();
    for (name, value) in asked.as_object().expect("a map") {
        let var = var(&machine, name);
        let set = machine.layout.bit(var, value.as_str().expect("a value")).expect("that value");
        state.bits.set_field(&machine.layout, var, set);
    }
    let taking_up = machine.taking_up(&state);
    (machine, taking_up)
}

fn sorted((machine, all): (Machine, TakingUp)) -> String {
    let TakingUp { looked_at, kept, covered, stands, waited, lost } = all;
    let list = |what: &str, vars: BTreeSet<VarId>| {
        (!vars.is_empty()).then(|| format!("{what} {}", names(&machine, vars.into_iter())))
    };
    let waits = waited
        .iter()
        .map(|(var, millis)| Some(format!("wait {millis} for {}", names(&machine, [*var].into_iter()))));
    let waits: Vec<_> = waits.collect();
    let lists = [
        list("look at", looked_at),
        list("keeps", kept),
        list("covered", covered),
        list("stands", stands),
        list("lost", lost),
    ];
    lists.into_iter().chain(waits).flatten().collect::<Vec<_>>().join(", ")
}

#[test]
fn each_condition_is_looked_at_stands_is_waited_for_or_is_lost() {
    let found = |known: Value, needs: Value| sorted(taken_up(known, needs));
    // What can be seen is looked at again, and only if anything was known and is relied on.
    assert_eq!(found(json!({ "isolator": "off" }), json!({ "isolator": "off" })), "look at isolator");
    assert_eq!(found(json!({}), json!({ "isolator": "off" })), "");
    assert_eq!(found(json!({ "isolator": "off" }), json!({})), "");
    // What nobody can look at is lost, unless it keeps.
    assert_eq!(found(json!({ "tag": "on" }), json!({ "tag": "on" })), "lost tag");
    assert_eq!(found(json!({ "plate": "fixed" }), json!({ "plate": "fixed" })), "keeps plate");
}

#[test]
fn behind_a_cover_it_is_as_recorded_while_the_cover_was_shut() {
    let found = |cover: Option<&str>| {
        let mut known = json!({ "terminal": "clean" });
        if let Some(cover) = cover {
            known["cover"] = json!(cover);
        }
        sorted(taken_up(known, json!({ "terminal": "clean" })))
    };
    assert_eq!(found(Some("shut")), "look at cover, covered terminal");
    assert_eq!(found(Some("open")), "look at cover terminal");
    assert_eq!(found(None), "lost terminal");
}

#[test]
fn evidence_stands_while_what_ends_it_is_seen_not_to_be_so() {
    let found = |cover: Option<&str>| {
        let mut known = json!({ "seal": "whole" });
        if let Some(cover) = cover {
            known["cover"] = json!(cover);
        }
        sorted(taken_up(known, json!({ "seal": "whole" })))
    };
    assert_eq!(found(Some("shut")), "look at cover, stands seal");
    assert_eq!(found(Some("open")), "lost seal");
    assert_eq!(found(None), "lost seal");
    // What could be looked at is not, while what ends it is seen not to be so.
    let marked = |known: Value| sorted(taken_up(known, json!({ "mark": "dry" })));
    assert_eq!(marked(json!({ "mark": "dry", "cover": "shut" })), "look at cover, stands mark");
    assert_eq!(marked(json!({ "mark": "dry" })), "look at mark");
    // But what lapses counts through no interruption.
    let stamped = taken_up(json!({ "stamp": "dry", "cover": "shut" }), json!({ "stamp": "dry" }));
    assert_eq!(sorted(stamped), "look at stamp");
    // Nobody can look whether the tag is still on; the terminal is vouched for by the cover over it.
    let painted = taken_up(json!({ "paint": "dry", "tag": "on" }), json!({ "paint": "dry" }));
    assert_eq!(sorted(painted), "lost paint");
    let known = json!({ "lacquer": "dry", "terminal": "clean", "cover": "shut" });
    let lacquered = taken_up(known, json!({ "lacquer": "dry" }));
    assert_eq!(sorted(lacquered), "look at cover, covered terminal, stands lacquer");
}

#[test]
fn a_hidden_voltage_is_waited_for_under_what_can_be_seen() {
    let found = |isolator: Option<&str>| {
        let mut known = json!({ "hv": "gone" });
        if let Some(isolator) = isolator {
            known["isolator"] = json!(isolator);
        }
        sorted(taken_up(known, json!({ "hv": "gone" })))
    };
    assert_eq!(found(Some("off")), "look at isolator, wait 10000 for hv");
    assert_eq!(found(Some("on")), "lost hv", "time does not count");
    assert_eq!(found(None), "lost hv");
    let heated = taken_up(json!({ "heat": "gone", "tag": "on" }), json!({ "heat": "gone" }));
    assert_eq!(sorted(heated), "lost heat", "nobody can look what its time counts under");
}

#[test]
fn a_value_keeps_and_a_clock_does_not() {
    let mut hv = voltage();
    hv["keeps"] = json!(true);
    hv["settles"]["while"] = json!({ "isolator": "off" });
    let steps = json!([
        { "id": "first", "wait": { "for": "6 s" } },
        { "id": "second", "wait": { "for": "4 s" } },
        { "id": "act", "do": "Act.", "requires": { "hv": "gone" } }
    ]);
    let conditions = json!({ "hv": hv, "isolator": { "values": ["off", "on"], "ask": "Is it off?" } });
    let machine = compiled(conditions, json!({ "isolator": "off" }), steps);
    let found = |state: &AbstractState| {
        let taking_up = machine.taking_up(state);
        sorted((machine.clone(), taking_up))
    };
    let step = |state: &AbstractState| machine.step(state, 0).remove(0).state;
    let half = step(&machine.start());
    assert_eq!(found(&half), "look at isolator, wait 10000 for hv", "6 s have counted");
    assert_eq!(found(&step(&half)), "keeps hv", "it is gone");
}

#[test]
fn a_start_asks_what_is_required_and_what_is_usual_where_it_is_relied_on() {
    let mut conditions = panel();
    conditions["seal"]["ask"] = json!("Is it whole?");
    for (name, usual) in [
        ("isolator", "off"),
        ("cover", "shut"),
        ("terminal", "clean"),
        ("seal", "whole"),
        ("tag", "on"),
        ("hv", "gone"),
    ] {
        conditions[name]["normal"] = json!(usual);
    }
    let asked = |requires: Value, needs: Value| {
        let steps = json!([{ "id": "act", "do": "Act.", "requires": needs }]);
        let machine = compiled(conditions.clone(), requires, steps);
        let words = |asked: &machine::Asked| {
            let how = if asked.by_record { " by record" } else { "" };
            format!("{}{how}", crate::membership(&machine, asked.conjunct))
        };
        machine.asked.iter().map(words).collect::<Vec<_>>().join(", ")
    };
    assert_eq!(asked(json!({}), json!({})), "", "nothing is relied on");
    assert_eq!(asked(json!({}), json!({ "isolator": "off" })), "isolator=off");
    assert_eq!(asked(json!({ "isolator": "on" }), json!({})), "isolator=on");
    assert_eq!(
        asked(json!({}), json!({ "seal": "whole", "tag": "on" })),
        "seal=whole by record, tag=on by record"
    );
    assert_eq!(asked(json!({}), json!({ "terminal": "clean" })), "terminal=clean by record");
    let open = json!({ "cover": "open" });
    assert_eq!(asked(open, json!({ "terminal": "clean" })), "cover=open, terminal=clean");
    assert_eq!(asked(json!({ "hv": "gone" }), json!({ "hv": "gone" })), "", "nobody can see it");
}
