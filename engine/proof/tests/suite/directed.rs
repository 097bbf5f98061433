//! One small case for each trap of the proof, with the verdict worked out by hand; the judge has to agree as well.

use super::compare::{Compared, refuted};
use oracle::judge::Fault;
use oracle::{equipment, library, procedure, shown};
use serde_json::{Value, json};

/// Proves a procedure `main` that performs others, and gives what is refuted: `s2 needs a`, `s2 breaks r`, `c promised`.
pub(super) fn verdict(conditions: Value, rules: Value, procedures: &[Value]) -> Vec<String> {
    verdict_on(equipment(conditions, rules), procedures)
}

/// The same on this equipment.
pub(super) fn verdict_on(rig: Value, procedures: &[Value]) -> Vec<String> {
    let documents: Vec<&Value> = [&rig].into_iter().chain(procedures).collect();
    let library = library(&documents).unwrap_or_else(|error| panic!("{error}\n{}", shown(&documents)));
    Compared::default()
        .one(&library, "main")
        .unwrap_or_else(|error| panic!("{error}\n{}", shown(&documents)));
    // The phase is told where it is not the step itself: `both in act 1`.
    let step = |at: &str| {
        let (path, rest) = at.split_once(' ').unwrap_or((at, ""));
        let phase = rest.split_once("] ").map_or("", |(_, phase)| phase);
        match phase.strip_prefix("body").unwrap_or(phase).trim() {
            "" => path.to_owned(),
            phase => format!("{path} {phase}"),
        }
    };
    let words = |wrong: Fault| match wrong {
        Fault::Need { at, condition, .. } => format!("{} needs {condition}", step(&at)),
        Fault::Rule { rule, at } => format!("{} breaks {rule}", step(&at)),
        Fault::Unmended(at) => format!("{} mends nothing", step(&at)),
        Fault::Promise(condition) => format!("{condition} promised"),
        Fault::Unanswered(at) => format!("{} unanswered", step(&at)),
        Fault::Stop(at) => format!("{} cannot be stopped", step(&at)),
        Fault::Universal => "no plan from anything".to_owned(),
        Fault::Resume { at, condition } => format!("{} cannot be resumed for {condition}", step(&at)),
    };
    let mut told: Vec<String> = refuted(&library, "main").expect("a proof").into_iter().map(words).collect();
    // Of several rounds, and of several ways that lack the same.
    told.dedup();
    told
}

/// The same for one procedure that requires all of its conditions and promises nothing.
pub(super) fn proved(conditions: Value, rules: Value, requires: Value, steps: Value) -> Vec<String> {
    verdict(conditions, rules, &[procedure("main", requires, json!({}), steps)])
}

/// A condition that anybody can look at.
pub(super) fn two() -> Value {
    json!({ "values": ["v0", "v1"], "ask": "Is it v0?" })
}

/// High voltage that a lamp shows: present falls to gone within 10 s.
pub(super) fn hv() -> Value {
    json!({
        "values": ["gone", "present"], "ask": "Is the lamp dark?",
        "settles": { "from": "present", "to": "gone", "after": "10 s" }
    })
}

pub(super) fn rule(when: Value) -> Value {
    json!({ "r": { "when": when, "hazard": "harm" } })
}

pub(super) const NOTHING: [&str; 0] = [];

#[test]
fn a_value_that_was_seen_may_fall_after_the_gate() {
    let steps = |id: &str, gate: Value| {
        let mut gate = gate;
        gate["id"] = json!(id);
        json!([gate, { "id": "act", "do": "Act.", "requires": { "hv": "present" } }])
    };
    let gate = json!({ "confirm": { "hv": "present" }, "otherwise": "stop" });
    let all = || json!({ "hv": ["gone", "present"] });
    assert_eq!(proved(json!({ "hv": hv() }), json!({}), all(), steps("look", gate)), ["act needs hv"]);
    let answer = json!({ "ask": "Is it?", "answers": {
        "yes": { "shows": { "hv": "present" }, "then": "act" }, "no": { "shows": { "hv": "gone" }, "then": "stop" }
    } });
    assert_eq!(proved(json!({ "hv": hv() }), json!({}), all(), steps("look", answer)), ["act needs hv"]);
    // A precondition narrows like a gate.
    let need = json!({ "do": "Act.", "requires": { "hv": "present" } });
    let twice = proved(json!({ "hv": hv() }), json!({}), all(), steps("first", need));
    assert_eq!(twice, ["act needs hv", "first needs hv"]);
    // So does what is left after a broken rule.
    let rule = json!({ "r": { "when": { "hv": "gone", "a": "v1" }, "hazard": "harm" } });
    let steps = json!([
        { "id": "set", "do": "Act.", "leaves": { "a": "v1" } }, { "id": "act", "do": "Act.", "requires": { "hv": "present" } }
    ]);
    let found = proved(
        json!({ "hv": hv(), "a": two() }),
        rule,
        json!({ "hv": ["gone", "present"], "a": "v0" }),
        steps,
    );
    assert_eq!(found, ["act needs hv", "set breaks r"]);
}

#[test]
fn ways_with_different_waits_stay_apart() {
    let steps = |way: &str| {
        json!([
            { "id": "set", "do": "Act.", "leaves": { "hv": "present" } },
            { "id": "six", "wait": { "for": "6 s" }, "only": { "tip": "large" } },
            { "id": "four", "wait": { "for": "4 s" } },
            { "id": "act", "do": "Act.", "requires": { "hv": "gone" }, "only": { "tip": way } }
        ])
    };
    let found = |way| proved(json!({ "hv": hv() }), json!({}), json!({ "hv": "gone" }), steps(way));
    assert_eq!(found("large"), NOTHING, "10 s are enough on the long way");
    assert_eq!(found("small"), ["act needs hv"], "4 s are too few on the short one");
}

#[test]
fn a_shorter_wait_is_not_covered_by_a_longer_one_with_less_known() {
    let steps = json!([
        { "id": "which", "ask": "Which?", "answers": { "x": "long", "y": "short" } },
        { "id": "long", "do": "Act.", "leaves": { "hv": "present" }, "disturbs": ["a"] },
        { "id": "six", "wait": { "for": "6 s" }, "then": "four" },
        { "id": "short", "do": "Act.", "leaves": { "hv": "present", "a": "v1" } },
        { "id": "pause", "do": "Act." },
        { "id": "four", "wait": { "for": "4 s" } },
        { "id": "look", "confirm": { "a": "v1" }, "otherwise": "stop" },
        { "id": "act", "do": "Act.", "requires": { "hv": "gone" } }
    ]);
    let found =
        proved(json!({ "hv": hv(), "a": two() }), json!({}), json!({ "hv": "gone", "a": "v0" }), steps);
    assert_eq!(found, ["act needs hv"]);
}

#[test]
fn a_wait_counts_for_the_variants_it_is_long_enough_for() {
    let steps = |only: Value| {
        json!([
            { "id": "set", "do": "Act.", "leaves": { "hv": "present" } },
            { "id": "purge", "wait": { "for": "$purge" } },
            { "id": "act", "do": "Act.", "requires": { "hv": "gone" }, "only": only }
        ])
    };
    let found = |only| proved(json!({ "hv": hv() }), json!({}), json!({ "hv": "gone" }), steps(only));
    assert_eq!(found(json!({ "tip": "large" })), NOTHING, "15 s");
    assert_eq!(found(json!({ "tip": "small" })), ["act needs hv"], "5 s");
    assert_eq!(found(json!({})), ["act needs hv"]);
}

#[test]
fn a_wait_does_not_count_for_what_its_own_step_sets() {
    let steps = |wait: Value| {
        json!([
            { "id": "on", "do": "Act.", "leaves": { "hv": "present" } },
            wait,
            { "id": "act", "do": "Act.", "requires": { "hv": "gone" } }
        ])
    };
    let found = |wait| proved(json!({ "hv": hv() }), json!({}), json!({ "hv": "gone" }), steps(wait));
    assert_eq!(found(json!({ "id": "wait", "wait": { "for": "10 s" } })), NOTHING);
    let again = json!({ "id": "wait", "wait": { "for": "10 s" }, "leaves": { "hv": "present" } });
    assert_eq!(found(again), ["act needs hv"]);
    let disturbed = json!({ "id": "wait", "wait": { "for": "10 s" }, "disturbs": ["hv"] });
    assert_eq!(found(disturbed), ["act needs hv"]);
}

#[test]
fn waits_add_up_and_one_millisecond_too_few_is_too_few() {
    let found = |first: &str, second: &str| {
        let steps = json!([
            { "id": "set", "do": "Act.", "leaves": { "hv": "present" } },
            { "id": "first", "wait": { "for": first } },
            { "id": "second", "wait": { "for": second } },
            { "id": "act", "do": "Act.", "requires": { "hv": "gone" } }
        ]);
        proved(json!({ "hv": hv() }), json!({}), json!({ "hv": "gone" }), steps)
    };
    assert_eq!(found("4 s", "6 s"), NOTHING);
    assert_eq!(found("4 s", "5999 ms"), ["act needs hv"]);
}

#[test]
fn evidence_is_lost_where_its_cause_may_be() {
    let conditions = || {
        let seen = json!({ "values": ["yes", "no"], "lost_when": { "cover": "open", "a": "v1" } });
        json!({ "cover": { "values": ["shut", "open"], "ask": "Is it shut?" }, "a": two(), "seen": seen })
    };
    let steps = |way: &str| {
        json!([
            { "id": "knock", "do": "Act.", "disturbs": ["cover"] },
            { "id": "look", "confirm": { "cover": way }, "otherwise": "stop" },
            { "id": "act", "do": "Act.", "requires": { "seen": "yes" } }
        ])
    };
    let found = |a: Value, way| {
        let start = json!({ "cover": "shut", "seen": "yes", "a": a });
        proved(conditions(), json!({}), start, steps(way))
    };
    let unknown = || json!(["v0", "v1"]);
    assert_eq!(found(unknown(), "shut"), ["act needs seen"], "it was lost when the cover may have come off");
    assert_eq!(found(unknown(), "open"), ["act needs seen"]);
    assert_eq!(found(json!("v0"), "open"), NOTHING);
}

#[test]
fn lost_evidence_ends_other_evidence() {
    let conditions = json!({
        "cover": { "values": ["shut", "open"], "ask": "Is it shut?" },
        "gasket": { "values": ["good", "bad"], "ask": "Is it good?", "lost_when": { "cover": "open" } },
        "test": { "values": ["pass", "fail"], "lost_when": { "gasket": "bad" } }
    });
    let steps = json!([
        { "id": "open", "do": "Act.", "leaves": { "cover": "open" } },
        { "id": "act", "do": "Act.", "requires": { "test": "pass" } },
    ]);
    let start = json!({ "cover": "shut", "gasket": "good", "test": "pass" });
    assert_eq!(proved(conditions, json!({}), start, steps), ["act needs test"]);
}

#[test]
fn a_failed_gate_knows_what_was_ticked_and_no_more() {
    let found = |needs: Value, more: Value| {
        let steps = json!([
            { "id": "look", "confirm": { "a": "v0", "b": "v0" }, "otherwise": "second" },
            { "id": "end", "do": "Act.", "then": "done" },
            { "id": "second", "confirm": more, "otherwise": "stop" },
            { "id": "act", "do": "Act.", "requires": needs }
        ]);
        let all = json!({ "a": ["v0", "v1"], "b": ["v0", "v1"] });
        proved(json!({ "a": two(), "b": two() }), json!({}), all, steps)
    };
    let any = |name: &str| json!({ name: ["v0", "v1"] });
    assert_eq!(found(json!({ "a": "v1" }), any("b")), ["act needs a"], "b may have failed");
    assert_eq!(found(json!({ "b": "v1" }), any("a")), ["act needs b"], "a may have failed");
    assert_eq!(
        found(json!({ "b": "v1" }), json!({ "a": "v0" })),
        ["act needs b"],
        "nobody may have been able to tell"
    );
    assert_eq!(found(json!({ "a": "v1" }), json!({ "b": "v0" })), ["act needs a"]);
    assert_eq!(
        found(json!({ "a": "v1" }), json!({ "a": "v1" })),
        NOTHING,
        "what is looked at again is known"
    );
}

#[test]
fn a_start_breaks_only_what_is_surely_so() {
    let found = |conditions: Value, when: Value, requires: Value| {
        proved(conditions, rule(when), requires, json!([{ "id": "act", "do": "Act." }]))
    };
    let conditions = || json!({ "a": two(), "b": two() });
    let both = || json!({ "a": "v1", "b": "v1" });
    assert_eq!(found(conditions(), both(), both()), ["start breaks r"]);
    assert_eq!(found(conditions(), both(), json!({ "a": "v1" })), NOTHING, "nothing is said of b");
    assert_eq!(found(conditions(), both(), json!({ "a": "v0" })), NOTHING);
    // What settles may fall at any moment, and then it has not surely fallen.
    let gone = || json!({ "hv": "gone" });
    assert_eq!(found(json!({ "hv": hv() }), gone(), json!({ "hv": "present" })), NOTHING);
    assert_eq!(found(json!({ "hv": hv() }), gone(), gone()), ["start breaks r"]);
}

#[test]
fn what_was_decided_together_stays_together() {
    let steps = |needs: &str| {
        json!([
            { "id": "low", "do": "Act.", "leaves": { "b": "v0" }, "only": { "tip": "small" } },
            { "id": "high", "do": "Act.", "leaves": { "b": "v1" }, "only": { "tip": "large" } },
            { "id": "act", "do": "Act.", "requires": { "b": needs }, "only": { "tip": "small" } }
        ])
    };
    let found = |needs| proved(json!({ "b": two() }), json!({}), json!({}), steps(needs));
    assert_eq!(found("v0"), NOTHING);
    assert_eq!(found("v1"), ["act needs b"]);
}

#[test]
fn knowing_less_does_not_pay() {
    // Whoever did `known` is surprised by the look, and that ends the evidence; whoever knew nothing finds out.
    let seen = json!({ "values": ["yes", "no"], "lost_when": { "a": "v1" }, "keeps": true });
    let found = |known: &str| {
        let steps = json!([
            { "id": "which", "ask": "Which?", "answers": { "x": "known", "y": "make" } },
            { "id": "known", "do": "Act.", "leaves": { "a": known } },
            { "id": "make", "do": "Act.", "leaves": { "seen": "yes" } },
            { "id": "look", "confirm": { "a": "v1" }, "otherwise": "stop" },
            { "id": "act", "do": "Act.", "requires": { "seen": "yes" } }
        ]);
        proved(json!({ "a": two(), "seen": seen.clone() }), json!({}), json!({}), steps)
    };
    assert_eq!(found("v0"), ["act needs seen"]);
    assert_eq!(found("v1"), NOTHING, "then the look says what the record says");
}

#[test]
fn an_act_may_be_stopped_between_two_of_its_changes() {
    let found = |first: &str, second: &str| {
        let mut leaves = serde_json::Map::new();
        leaves.insert(first.to_owned(), json!("v1"));
        leaves.insert(second.to_owned(), json!("v1"));
        let steps = json!([{ "id": "act", "do": "Act.", "leaves": leaves }]);
        let start = json!({ "a": "v0", "b": "v0" });
        proved(json!({ "a": two(), "b": two() }), rule(json!({ "a": "v1", "b": "v0" })), start, steps)
    };
    assert_eq!(found("a", "b"), ["act breaks r"], "before b follows");
    assert_eq!(found("b", "a"), NOTHING);
}

#[test]
fn what_a_look_shows_to_be_broken_is_ended_by_the_next_act() {
    let found = |next: Value| {
        let mut next = next;
        next["id"] = json!("next");
        let steps = json!([
            { "id": "look", "confirm": { "a": "v0" }, "otherwise": "next" },
            { "id": "end", "do": "Act.", "then": "done" },
            next
        ]);
        let start = json!({ "a": "v0", "b": "v1" });
        proved(json!({ "a": two(), "b": two() }), rule(json!({ "a": "v1", "b": "v1" })), start, steps)
    };
    assert_eq!(found(json!({ "do": "Act.", "leaves": { "a": "v0" } })), NOTHING);
    assert_eq!(found(json!({ "do": "Act." })), ["next mends nothing"]);
    assert_eq!(found(json!({ "wait": { "for": "5 s" } })), ["next mends nothing"]);
}

#[test]
fn what_a_later_step_relies_on_is_not_forgotten() {
    let steps = |a: &str, later: Value| {
        json!([
            { "id": "early", "do": "Act.", "leaves": { "a": a } },
            { "id": "between", "do": "Act." },
            { "id": "late", "do": "Act.", "leaves": later },
            { "id": "end", "do": "Act." }
        ])
    };
    let rules = || rule(json!({ "a": "v1", "b": "v1" }));
    let start = || json!({ "a": "v0", "b": "v0" });
    let found = |a, later| proved(json!({ "a": two(), "b": two() }), rules(), start(), steps(a, later));
    assert_eq!(found("v0", json!({ "b": "v1" })), NOTHING);
    assert_eq!(found("v1", json!({ "b": "v1" })), ["late breaks r"]);
    assert_eq!(found("v1", json!({ "b": "v0" })), NOTHING);
    // Evidence that a later act ends, and a rule that the lost evidence then breaks.
    let conditions = || json!({ "a": two(), "b": two(), "seen": { "values": ["yes", "no"], "lost_when": { "a": "v1", "b": "v1" } } });
    let rules = || rule(json!({ "seen": "no" }));
    let start = || json!({ "a": "v0", "b": "v0", "seen": "yes" });
    assert_eq!(proved(conditions(), rules(), start(), steps("v0", json!({ "b": "v1" }))), NOTHING);
    assert_eq!(proved(conditions(), rules(), start(), steps("v1", json!({ "b": "v1" }))), ["late breaks r"]);
}

#[test]
fn a_failed_reading_leaves_what_it_disturbs_uncertain() {
    let found = |kind: Value| {
        let mut first = json!({
            "id": "first", "otherwise": "act", "then": "stop", "disturbs": ["a"], "leaves": { "a": "v0" }
        });
        for (key, value) in kind.as_object().expect("a kind") {
            first[key] = value.clone();
        }
        let steps = json!([first, { "id": "act", "do": "Act.", "requires": { "a": "v0" } }]);
        proved(json!({ "a": two(), "b": two() }), json!({}), json!({ "a": "v0" }), steps)
    };
    let measure = json!({ "measure": { "what": "it", "instrument": "gauge", "at_least": "1 V", "shows": { "b": "v0" } } });
    assert_eq!(found(measure), ["act needs a"]);
    assert_eq!(found(json!({ "confirm": { "b": "v0" } })), ["act needs a"]);
    assert_eq!(found(json!({ "wait": { "until": { "b": "v0" }, "limit": "30 s" } })), ["act needs a"]);
    let rounds = json!({ "repeat": { "until": { "b": "v0" }, "at_most": 2, "steps": [{ "id": "try", "do": "Act." }] } });
    assert_eq!(found(rounds), ["act needs a"]);
}

#[test]
fn every_value_of_what_settles_has_its_answer() {
    let steps = |answers: Value| json!([{ "id": "which", "ask": "Which?", "answers": answers }]);
    let present = || json!({ "shows": { "hv": "present" }, "then": "stop" });
    let found = |answers| {
        proved(json!({ "hv": hv() }), json!({}), json!({ "hv": ["gone", "present"] }), steps(answers))
    };
    assert_eq!(found(json!({ "x": { "shows": { "hv": "gone" }, "then": "done" }, "y": present() })), NOTHING);
    assert_eq!(found(json!({ "x": present(), "y": present() })), ["which unanswered"]);
}

#[test]
fn a_run_is_told_by_what_still_matters() {
    // Where the ways join, only `a` still matters: the run has to be that of `first`, whatever `b` and `c` are picked as.
    let steps = json!([
        { "id": "which", "ask": "Which?", "answers": { "x": "first", "y": "second" } },
        { "id": "first", "do": "Act.", "leaves": { "a": "v0", "b": "v1", "c": "v1" }, "then": "act" },
        { "id": "second", "do": "Act.", "leaves": { "a": "v1", "b": "v0", "c": "v0" } },
        { "id": "act", "do": "Act.", "requires": { "a": "v1" } }
    ]);
    assert_eq!(
        proved(json!({ "a": two(), "b": two(), "c": two() }), json!({}), json!({}), steps),
        ["act needs a"]
    );
}
