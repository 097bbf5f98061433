//! Plans that meet again after each look, and plans that begin where a rule was found broken, worked out by hand.

use super::plans::{line, machine, plan, rig, rule, seen, two, universal};
use machine::{AbstractState, Machine};
use proof::{Course, Leaving, PlanStep, Planner};
use serde_json::{Map, Value, json};

#[test]
fn after_a_look_only_what_both_its_ways_leave_is_known() {
    // Whoever has to close `a` disturbs `b`, which nobody sees: it is put right again in any case.
    let mends = [
        ("close-a", json!({ "leaves": { "a": "v0" }, "disturbs": ["b"] })),
        ("fix-b", json!({ "leaves": { "b": "v0" } })),
    ];
    let found = plan(json!({ "a": seen(), "b": two() }), json!({}), json!({ "b": "v0", "a": "v0" }), &mends);
    let close = "look (a v0: ; a v1: close-a, a v0! else (close-a, a v0! else (cannot)))";
    assert_eq!(found, format!("fix-b, {close}, fix-b"));
}

#[test]
fn what_a_surprise_undoes_begins_the_plan_anew() {
    let mut seal = seen();
    seal["lost_when"] = json!({ "a": "v1" });
    let mends =
        [("seal", json!({ "leaves": { "seal": "v0" } })), ("close", json!({ "leaves": { "a": "v0" } }))];
    let rest = json!({ "seal": "v0", "a": "v0" });
    let found = plan(json!({ "a": seen(), "seal": seal }), json!({}), rest, &mends);
    let sealed = "look (seal v0: ; seal v1: seal, seal v0! else (seal, seal v0! else (cannot)))";
    let closed = "look (a v0: ; a v1: close, a v0! else (close, a v0! else (cannot), universal))";
    assert_eq!(found, format!("{sealed}, {closed}"));
}

#[test]
fn a_rule_found_on_the_way_is_ended_only_where_all_of_it_is_so() {
    // Two leads, each on, off or bare: red must not be off while black is on, and neither may be left bare.
    let lead =
        || json!({ "values": ["on", "off", "bare"], "ask": { "on": "On?", "off": "Off?", "bare": "Bare?" } });
    let mends = [
        ("black-off", json!({ "requires": { "black": "on" }, "leaves": { "black": "off" } })),
        ("cap-red", json!({ "leaves": { "red": "off" }, "requires": { "red": "bare", "black": "off" } })),
        ("cap-black", json!({ "leaves": { "black": "off" }, "requires": { "black": "bare" } })),
    ];
    let never = rule(json!({ "red": ["off", "bare"], "black": "on" }));
    let rest = json!({ "black": ["on", "off"], "red": ["on", "off"] });
    let found = plan(json!({ "black": lead(), "red": lead() }), never, rest, &mends);
    // Seen bare it was neither taken off nor is it on, so that the act cannot be done again: the plan is begun anew.
    let off = "black-off, black off! else (universal)";
    let last = format!(", look (red on: ; red off: look (black off: ; black on: {off}))");
    assert!(found.ends_with(&last), "{found}");
}

#[test]
fn what_a_plan_did_not_expect_leads_to_the_whole_and_not_for_ever() {
    let lead =
        json!({ "values": ["on", "off", "bare"], "ask": { "on": "On?", "off": "Off?", "bare": "Bare?" } });
    let mends = [
        ("take-off", json!({ "requires": { "lead": "on" }, "leaves": { "lead": "off" } })),
        ("cap", json!({ "requires": { "lead": "bare" }, "leaves": { "lead": "off" } })),
    ];
    let rig = rig(json!({ "lead": lead }), json!({}), json!({ "lead": "off" }), &mends);
    let machine = machine(&rig, json!({ "lead": ["on", "off"] }));
    let mut planner = Planner::new(&machine).expect("a state to leave in");
    let proof::Universal::Plan(whole) = planner.universal().clone() else { panic!("a plan") };
    let Leaving::Plan { moves, looks } = planner.leave(&machine.start()) else { panic!("a way") };
    let here = |course: &Course<'_>| course.here().map(|step| line(&machine, std::slice::from_ref(step)));
    let (off, bare) = (0b010, 0b100);
    let mut course = Course::new(&moves, &looks);
    let asked = |course: &Course<'_>| match course.here() {
        Some(PlanStep::Look { ways, .. }) => ways.iter().fold(0, |all, (values, _)| all | values),
        other => panic!("{other:?}"),
    };
    assert_eq!(asked(&course), 0b011, "bare is ruled out there");
    course.looked(bare);
    assert_eq!(course.here(), Some(&PlanStep::Universal));
    let mut course = Course::new(&whole, &[]);
    assert_eq!(asked(&course), 0b111, "and not in the plan for the whole");
    // It is looked at until what is to be done is known.
    while !matches!(course.here(), Some(PlanStep::Act(_))) {
        course.looked(bare);
    }
    assert_eq!(here(&course), Some("cap".to_owned()));
    let mut capped = course.clone();
    capped.done();
    capped.looked(off);
    assert_eq!(capped.here(), None);
    let mut acts = 0;
    while !matches!(course.here(), Some(PlanStep::Cannot | PlanStep::Universal)) {
        acts += usize::from(matches!(course.here(), Some(PlanStep::Act(_))));
        course.done();
        course.looked(bare);
        assert!(acts < 10, "it goes on for ever");
    }
}

#[test]
fn the_exact_search_looks_only_where_it_can() {
    let mut inside = seen();
    inside["seen_when"] = json!({ "cover": "v1" });
    let mends = [
        ("down", json!({ "requires": { "inside": "v0" }, "leaves": { "load": "v0" } })),
        ("up", json!({ "requires": { "inside": "v1" }, "leaves": { "load": "v0" } })),
    ];
    let conditions = json!({ "load": two(), "inside": inside, "cover": seen() });
    let rig = rig(conditions, json!({}), json!({ "load": "v0" }), &mends);
    assert_eq!(universal(&machine(&rig, json!({}))), "none", "nothing opens the cover");
    assert_eq!(
        way(&machine(&rig, json!({ "cover": "v1" })), &[]),
        "look (inside v0: down; inside v1: up) / "
    );
}

/// The way from a start at which these rules were found broken.
fn way(machine: &Machine, found: &[usize]) -> String {
    let mut start: AbstractState = machine.start();
    found.iter().for_each(|&rule| machine.set_found(&mut start, rule, true));
    match Planner::new(machine).expect("a state to leave in").leave(&start) {
        Leaving::Plan { moves, looks } => format!("{} / {}", line(machine, &moves), line(machine, &looks)),
        Leaving::Stuck(_) => "stuck".to_owned(),
        Leaving::Unknown => "unknown".to_owned(),
    }
}

#[test]
fn what_was_found_broken_is_ended_and_first() {
    let mends =
        [("close-c", json!({ "leaves": { "c": "v0" } })), ("close-a", json!({ "leaves": { "a": "v0" } }))];
    let never = rule(json!({ "a": "v1", "b": "v1" }));
    let rig = rig(json!({ "a": seen(), "b": seen(), "c": seen() }), never, json!({ "c": "v0" }), &mends);
    let looks = "c v0! else (universal)";
    let at = |c: &str, found: &[usize]| way(&machine(&rig, json!({ "a": "v1", "b": "v1", "c": c })), found);
    assert_eq!(at("v0", &[]), format!(" / {looks}"));
    assert_eq!(at("v0", &[0]), format!("close-a / {looks}"));
    assert_eq!(at("v1", &[0]), format!("close-a, close-c / {looks}"));
}

#[test]
fn a_rule_that_an_act_has_just_ended_is_not_ended_again() {
    // In the middle of an act it is still among those found broken, for the act owes its end; but it holds no more.
    let never = rule(json!({ "a": "v1", "b": "v1" }));
    let rig = rig(json!({ "a": seen(), "b": seen(), "c": seen() }), never, json!({ "c": "v0" }), &[]);
    let at = |a: &str| way(&machine(&rig, json!({ "a": a, "b": "v1", "c": "v0" })), &[0]);
    assert_eq!(at("v0"), " / c v0! else (cannot)");
    assert_eq!(at("v1"), "stuck");
}

#[test]
fn a_rule_that_is_broken_anyway_may_stay_so_on_the_way() {
    let b = json!({ "values": ["v0", "v1", "v2"], "ask": { "v0": "0?", "v1": "1?", "v2": "2?" } });
    let mends = [
        ("step", json!({ "requires": { "b": "v2" }, "leaves": { "b": "v1" } })),
        ("close", json!({ "requires": { "b": "v1" }, "leaves": { "a": "v0" } })),
    ];
    let never = rule(json!({ "a": "v1", "b": ["v1", "v2"] }));
    let rig = rig(json!({ "a": seen(), "b": b }), never, json!({ "a": "v0" }), &mends);
    assert_eq!(
        way(&machine(&rig, json!({ "a": "v1", "b": "v2" })), &[0]),
        "step, close / a v0! else (cannot)"
    );
}

#[test]
fn the_last_looks_leave_out_what_is_covered() {
    let mut inside = seen();
    inside["seen_when"] = json!({ "cover": "v1" });
    let mends = [("shut", json!({ "leaves": { "cover": "v0" } }))];
    let rest = json!({ "inside": "v0", "cover": "v0" });
    let rig = rig(json!({ "cover": seen(), "inside": inside }), json!({}), rest, &mends);
    let machine = machine(&rig, json!({ "inside": "v0", "cover": "v0" }));
    assert_eq!(way(&machine, &[]), " / cover v0! else (cannot)");
}

#[test]
fn many_parts_that_are_known_are_left_out() {
    let names: Vec<String> = (0..10).map(|at| format!("tag-{at}")).collect();
    let of = |value: Value| names.iter().map(|name| (name.clone(), value.clone())).collect::<Map<_, _>>();
    let mends: Vec<(String, Value)> = names
        .iter()
        .map(|name| (format!("fix-{name}"), json!({ "leaves": { name.as_str(): "v0" } })))
        .collect();
    let mends: Vec<(&str, Value)> = mends.iter().map(|(name, mend)| (name.as_str(), mend.clone())).collect();
    let on = |condition: Value| rig(of(condition).into(), json!({}), of(json!("v0")).into(), &mends);
    let moves = |rig: &Value, known: usize| {
        let requires: Map<_, _> = of(json!("v0")).into_iter().take(known).collect();
        let machine = machine(rig, requires.into());
        match Planner::new(&machine).expect("a state to leave in").leave(&machine.start()) {
            Leaving::Plan { moves, .. } => moves.len(),
            other => panic!("{other:?}"),
        }
    };
    // Whether somebody looks first or does it anyway.
    for rig in [on(seen()), on(two())] {
        assert_eq!([0, 1, 2, 10].map(|known| moves(&rig, known)), [10, 9, 8, 0]);
    }
}

#[test]
fn whoever_follows_a_plan_is_led_on_by_what_they_see() {
    let mends = [("close", json!({ "leaves": { "a": "v0" } }))];
    let machine = machine(&rig(json!({ "a": seen() }), json!({}), json!({ "a": "v0" }), &mends), json!({}));
    let mut planner = Planner::new(&machine).expect("a state to leave in");
    let proof::Universal::Plan(whole) = planner.universal().clone() else { panic!("a plan") };
    let Leaving::Plan { moves, looks } = planner.leave(&machine.start()) else { panic!("a way") };
    let here = |course: &Course<'_>| course.here().map(|step| line(&machine, std::slice::from_ref(step)));
    let act = Some("close".to_owned());
    let mut course = Course::new(&moves, &looks);
    assert_eq!(here(&course), act, "to close it anyway is shorter than to look first");
    course.looked(0b01);
    assert_eq!(here(&course), act, "nobody was asked to look");
    course.done();
    assert!(matches!(course.here(), Some(PlanStep::Again { .. })));
    let mut so = course.clone();
    so.looked(0b01);
    assert_eq!(so.here(), None);
    // It is not so: the plan for the whole, which looks, acts, looks, acts and looks again, and knows no more.
    course.looked(0b10);
    assert_eq!(course.here(), Some(&PlanStep::Universal));
    course.looked(0b10);
    assert_eq!(course.here(), Some(&PlanStep::Universal), "nothing of it follows");
    let mut course = Course::new(&whole, &[]);
    assert!(matches!(course.here(), Some(PlanStep::Look { .. })));
    course.looked(0b10);
    assert_eq!(here(&course), act);
    course.done();
    course.looked(0b10);
    assert_eq!(here(&course), act);
    course.done();
    course.looked(0b10);
    assert_eq!(course.here(), Some(&PlanStep::Cannot));
    course.done();
    assert_eq!(course.here(), Some(&PlanStep::Cannot), "there is no way on");
}

#[test]
fn without_an_act_that_ends_what_was_found_broken_there_is_no_plan() {
    let of = || json!({ "values": ["v0", "v1", "v2"], "ask": { "v0": "0?", "v1": "1?", "v2": "2?" } });
    let mends = [
        ("fix-a", json!({ "requires": { "a": "v2" }, "leaves": { "a": "v0" } })),
        ("fix-b", json!({ "requires": { "b": "v2" }, "leaves": { "b": "v0" } })),
    ];
    let found = |never: Value| {
        let rest = json!({ "a": ["v0", "v1"], "b": ["v0", "v1"] });
        plan(json!({ "a": of(), "b": of() }), never, rest, &mends)
    };
    assert_eq!(found(rule(json!({ "a": "v1", "b": "v1" }))), "none");
    assert_ne!(found(json!({})), "none");
}

#[test]
fn nothing_is_a_means_to_itself() {
    let mends = [
        ("a", json!({ "requires": { "b": "v0" }, "leaves": { "a": "v0" } })),
        ("b", json!({ "requires": { "a": "v0" }, "leaves": { "b": "v0" } })),
    ];
    assert_eq!(plan(json!({ "a": seen(), "b": seen() }), json!({}), json!({ "a": "v0" }), &mends), "none");
}

#[test]
fn what_was_disturbed_may_end_evidence_when_it_is_looked_at() {
    // Closing `a` may have opened `b`. Whoever then finds `b` open cannot know that the seal, looked at before, is still whole.
    let mut seal = seen();
    seal["lost_when"] = json!({ "b": "v1" });
    let mends = [
        ("seal", json!({ "leaves": { "seal": "v0" } })),
        ("close-a", json!({ "leaves": { "a": "v0" }, "disturbs": ["b"] })),
        ("close-b", json!({ "leaves": { "b": "v0" } })),
    ];
    let rest = json!({ "a": "v0", "seal": "v0", "b": "v0" });
    let found = plan(json!({ "a": seen(), "b": seen(), "seal": seal }), json!({}), rest, &mends);
    let looks: Vec<&str> = found.split("look (").skip(1).map(|look| &look[..1]).collect();
    assert_eq!(looks, ["a", "s", "b", "s"], "{found}");
}

#[test]
fn time_is_no_help_where_only_a_look_counts() {
    let mut p = seen();
    p["settles"] = json!({ "from": "v1", "to": "v0", "after": "10 s", "while": "none" });
    let machine = machine(&rig(json!({ "p": p }), json!({}), json!({ "p": "v0" }), &[]), json!({}));
    assert_eq!(universal(&machine), "look (p v0: ; p v1: wait 10000 for p, p v0! else (cannot))");
    let mut start = machine.start();
    let mut planner = Planner::new(&machine).expect("a state to leave in");
    assert!(matches!(planner.leave(&start), Leaving::Plan { .. }));
    machine.set_look_only(&mut start, 0);
    assert!(matches!(planner.leave(&start), Leaving::Stuck(_)), "it was seen not to have gone");
}
