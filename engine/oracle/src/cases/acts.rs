//! Acts: the order of what they write, verification, blocks, rounds, what is promised.

use super::case::{Case, case, with_inner};
use super::rigs::PLUG;

/// A lamp that is on normally, and evidence that is normally current.
const LAMP: &str = "\
conditions:
  lamp: { values: [on, off], normal: on, ask: Is the lamp on? }
  cover: { values: [shut, open], ask: Is the cover shut? }
  gasket: { values: [inspected, uninspected], normal: inspected, lost_when: { cover: open } }
";

/// A type of work for which the mains must be off.
const WORK: &str = "\
conditions:
  mains: { values: [off, on], ask: Is the switch at 0? }
  part: { values: [fit, loose], ask: Is the part fit? }
work: { near: { requires: { mains: off } } }
actions: { near-act: { do: Act., work: near, leaves: { part: fit } } }
";

pub(super) fn cases() -> Vec<Case> {
    [order(), again(), normals(), performed(), verified()].into_iter().flatten().collect()
}

fn order() -> Vec<Case> {
    vec![
        case(
            "the guard comes off before the plug comes out, in one act",
            PLUG,
            "requires: { guard: shut, mains: plugged }
steps:
  - { id: both, do: Do both., leaves: { guard: open, mains: off } }",
            &["rule(naked, both [] body)"],
        ),
        case(
            "the plug comes out before the guard comes off, in one act",
            PLUG,
            "requires: { guard: shut, mains: plugged }
steps:
  - { id: both, do: Do both., leaves: { mains: off, guard: open } }",
            &[],
        ),
        case(
            "what an act leaves and disturbs as well is open after it",
            WORK,
            "requires: { mains: on }
steps:
  - { id: off, do: Switch off and knock at it., leaves: { mains: off }, disturbs: [mains] }
  - { id: use, do: Work., requires: { mains: off } }",
            &["need(use [] body, mains)"],
        ),
        case(
            "after a fault the run goes on with the part that has none",
            PLUG,
            "requires: { guard: shut }
steps:
  - { id: open, do: Take the guard off., leaves: { guard: open } }
  - { id: use, do: Work., requires: { mains: off } }",
            &["rule(naked, open [] body)"],
        ),
        case(
            "a combination that somebody may release is no prohibition",
            &PLUG.replace("hazard: harm }", "hazard: harm, released_by: technician }"),
            "requires: { guard: shut, mains: plugged }
steps:
  - { id: open, do: Take the guard off., leaves: { guard: open } }",
            &[],
        ),
        case(
            "what is disturbed comes last",
            PLUG,
            "requires: { guard: shut, mains: off }
steps:
  - { id: both, do: Do both., leaves: { guard: open }, disturbs: [mains] }",
            &["rule(naked, both [] body)"],
        ),
        case(
            "what is left and disturbed is open once the act is done",
            PLUG,
            "requires: { guard: shut }
steps:
  - { id: both, do: Do both., leaves: { mains: off, guard: open }, disturbs: [mains] }",
            &["rule(naked, both [] body)"],
        ),
    ]
}

fn again() -> Vec<Case> {
    vec![
        case(
            "a round and the look after it need what the repeat needs: the steps spoil it",
            WORK,
            "requires: { mains: off }
steps:
  - id: round
    work: near
    repeat: { at_most: 2, until: { part: fit }, steps: [{ id: act, do: Act., disturbs: [mains] }] }
    otherwise: stop",
            &["need(round [] until 1, mains)", "need(round [] until 2, mains)"],
        ),
        case(
            "a round needs what the repeat needs: the look after the last one spoils it",
            WORK,
            "requires: { mains: off }
steps:
  - id: round
    work: near
    disturbs: [mains]
    repeat: { at_most: 2, until: { part: fit }, steps: [{ id: act, do: Act. }] }
    otherwise: stop",
            &["need(round/act [2] body, mains)"],
        ),
        case(
            "rounds that leave alone what the repeat needs",
            WORK,
            "requires: { mains: off }
steps:
  - id: round
    work: near
    repeat: { at_most: 2, until: { part: fit }, steps: [{ id: act, do: Act., leaves: { part: fit } }] }
    otherwise: stop",
            &[],
        ),
        case(
            "every item of a block needs what the block needs",
            WORK,
            "requires: { mains: off }
steps:
  - id: both
    work: near
    any_order: [{ id: one, do: Act., disturbs: [mains] }, { id: two, do: Act., leaves: { part: fit } }]",
            &["need(both/two [] body, mains)"],
        ),
        case(
            "the items of a block leave alone what it needs",
            WORK,
            "requires: { mains: off }
steps:
  - id: both
    work: near
    any_order: [{ id: one, do: Act., disturbs: [part] }, { id: two, do: Act., leaves: { part: fit } }]",
            &[],
        ),
        case(
            "an action needs what its type of work needs",
            WORK,
            "steps:
  - { id: act, action: near-act }",
            &["need(act [] body, mains)"],
        ),
    ]
}

fn normals() -> Vec<Case> {
    vec![
        case(
            "the untouched stays as it was found",
            LAMP,
            "steps:
  - { id: shut, do: Shut it., leaves: { cover: shut } }",
            &[],
        ),
        case(
            "normal binds what an act writes",
            LAMP,
            "steps:
  - { id: dark, do: Put the lamp out., leaves: { lamp: off } }",
            &["promise(lamp)"],
        ),
        case(
            "what an act changed is put back",
            LAMP,
            "steps:
  - { id: dark, do: Put the lamp out., leaves: { lamp: off } }
  - { id: light, do: Light it., leaves: { lamp: on } }",
            &[],
        ),
        case(
            "the procedure promises otherwise",
            LAMP,
            "leaves: { lamp: off }
steps:
  - { id: dark, do: Put the lamp out., leaves: { lamp: off } }",
            &[],
        ),
        case(
            "a look does not bind",
            LAMP,
            "steps:
  - { id: look, confirm: { lamp: on }, otherwise: done }",
            &[],
        ),
        case(
            "normal binds the evidence that an act ends",
            LAMP,
            "requires: { gasket: inspected }
steps:
  - { id: open, do: Open it., leaves: { cover: open } }",
            &["promise(gasket)"],
        ),
        case(
            "normal binds on the path that writes",
            LAMP,
            "steps:
  - { id: which, ask: Which?, answers: { dark: dark, end: done } }
  - { id: dark, do: Put the lamp out., disturbs: [lamp] }",
            &["promise(lamp)"],
        ),
        case(
            "what is promised is not so on one way to done",
            LAMP,
            "leaves: { cover: shut }
steps:
  - { id: which, ask: Which?, answers: { shut: shut, end: done } }
  - { id: shut, do: Shut it., leaves: { cover: shut } }",
            &["promise(cover)"],
        ),
    ]
}

fn performed() -> Vec<Case> {
    vec![
        with_inner(
            "a performed procedure is explored in its caller, not by its promise",
            WORK,
            "steps:
  - { id: other, perform: inner }
  - { id: use, do: Work., requires: { part: fit } }",
            Some("leaves: { part: fit }\nsteps: [{ id: look, do: Look. }]"),
            &["need(use [] body, part)"],
        ),
        with_inner(
            "a performed procedure does what it promises",
            WORK,
            "steps:
  - { id: other, perform: inner }
  - { id: use, do: Work., requires: { part: fit } }",
            Some("steps: [{ id: act, do: Act., leaves: { part: fit } }]"),
            &[],
        ),
        with_inner(
            "what a performed procedure requires is needed at its entry",
            WORK,
            "steps:
  - { id: other, perform: inner }",
            Some("requires: { mains: off }\nsteps: [{ id: act, do: Act. }]"),
            &["need(other [] body, mains)"],
        ),
        with_inner(
            "a stop in a performed procedure stops the whole, its done does not",
            WORK,
            "steps:
  - { id: other, perform: inner }
  - { id: use, do: Work., requires: { part: fit } }",
            Some(
                "steps:
  - { id: which, ask: Which?, answers: { end: act, stop: stop } }
  - { id: act, do: Act., leaves: { part: fit }, then: done }",
            ),
            &[],
        ),
    ]
}

fn verified() -> Vec<Case> {
    let denied_to = |otherwise: &str| {
        format!(
            "requires: {{ guard: shut, mains: plugged }}
steps:
  - {{ id: pull, do: Pull the plug., leaves: {{ mains: off }}, verified_by: technician, otherwise: {otherwise} }}
  - {{ id: open, do: Take the guard off., leaves: {{ guard: open }} }}
  - {{ id: end, do: Go away. }}"
        )
    };
    let by_work = "requires: { mains: on }
steps:
  - { id: off, do: Switch off., work: far, leaves: { mains: off }, otherwise: near }
  - { id: near, work: near, do: Act. }";
    let by_action = "requires: { mains: on }
steps:
  - { id: off, action: far-act, otherwise: end }
  - { id: near, work: near, do: Act. }
  - { id: end, do: Go away. }";
    let work = WORK
        .replace("work: {", "work: { far: { verified_by: technician },")
        .replace("actions: {", "actions: { far-act: { do: Act., work: far, leaves: { mains: off } },");
    vec![
        case("an act that is denied leads past what relies on it", PLUG, &denied_to("end"), &[]),
        case(
            "an act that is denied leads to what relies on it",
            PLUG,
            &denied_to("open"),
            &["rule(naked, open [] body)"],
        ),
        case("a type of work is verified: denied", &work, by_work, &["need(near [] body, mains)"]),
        case("the type of work of an action is verified: denied", &work, by_action, &[]),
    ]
}
