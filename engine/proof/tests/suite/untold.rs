//! A look of a plan that nobody can make out: only what serves whatever is so is done.

use super::plans::{line, machine, rig, seen};
use machine::Machine;
use proof::{Course, PlanStep, Planner, Universal};
use serde_json::json;

fn whole(machine: &Machine) -> Vec<PlanStep> {
    match Planner::new(machine).expect("a state to leave in").universal() {
        Universal::Plan(steps) => steps.clone(),
        other => panic!("{other:?}"),
    }
}

fn here(machine: &Machine, course: &Course<'_>) -> String {
    course.here().map_or_else(String::new, |step| line(machine, std::slice::from_ref(step)))
}

/// One act needs the supply isolated and one needs it live: who cannot tell does neither.
#[test]
fn an_act_that_needs_what_nobody_can_tell_is_not_ordered() {
    let mends = [
        ("by-hand", json!({ "requires": { "supply": "v0" }, "leaves": { "cover": "v0" } })),
        ("by-stick", json!({ "requires": { "supply": "v1" }, "leaves": { "cover": "v0" } })),
    ];
    let conditions = json!({ "supply": seen(), "cover": seen() });
    let machine = machine(&rig(conditions, json!({}), json!({ "cover": "v0" }), &mends), json!({}));
    let whole = whole(&machine);
    let mut course = Course::new(&whole, &[]);
    loop {
        let Some(PlanStep::Look { var, .. }) = course.here() else { panic!("{}", line(&machine, &whole)) };
        if *machine.layout.var(*var).name == *"supply" {
            break;
        }
        course.looked(0b10);
    }
    course.untold();
    assert_eq!(here(&machine, &course), "cannot", "{}", line(&machine, &whole));
}

/// The same of an act that would break a rule if the supply were live.
#[test]
fn an_act_that_may_break_a_rule_is_not_ordered() {
    let mends = [
        ("fit", json!({ "leaves": { "cover": "v0" } })),
        ("park", json!({ "requires": { "supply": "v1" }, "leaves": { "cover": "v2" } })),
    ];
    let mut cover = seen();
    cover["values"] = json!(["v0", "v1", "v2"]);
    let never = json!({ "fitted-live": { "when": { "supply": "v1", "cover": "v0" }, "hazard": "harm" } });
    let rest = json!({ "cover": ["v0", "v2"] });
    let machine = machine(&rig(json!({ "supply": seen(), "cover": cover }), never, rest, &mends), json!({}));
    let whole = whole(&machine);
    let mut course = Course::new(&whole, &[]);
    loop {
        let Some(PlanStep::Look { var, ways, .. }) = course.here() else {
            panic!("{}", line(&machine, &whole))
        };
        if *machine.layout.var(*var).name == *"supply" {
            break;
        }
        let longest = ways.iter().max_by_key(|(_, way)| way.len()).expect("ways");
        course.looked(longest.0);
    }
    course.untold();
    assert_eq!(here(&machine, &course), "cannot", "{}", line(&machine, &whole));
}

/// An act that needs nothing and harms nothing is done all the same; where nobody can tell again, nothing leads on.
#[test]
fn what_serves_whatever_is_so_is_done_once() {
    let mends =
        [("close-a", json!({ "leaves": { "a": "v0" } })), ("close-b", json!({ "leaves": { "b": "v0" } }))];
    let conditions = json!({ "a": seen(), "b": seen() });
    let machine = machine(&rig(conditions, json!({}), json!({ "a": "v0", "b": "v0" }), &mends), json!({}));
    let whole = whole(&machine);
    let mut course = Course::new(&whole, &[]);
    course.untold();
    assert_eq!(here(&machine, &course), "close-a");
    course.done();
    let mut again = course.clone();
    again.untold();
    assert_eq!(here(&machine, &again), "cannot", "what an act was for has to be seen");
    course.looked(0b01);
    course.untold();
    assert_eq!(here(&machine, &course), "cannot", "it was said a second time");
}
