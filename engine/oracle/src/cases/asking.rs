//! Asking on: where the answer is not what was asked for, it may be told what it is instead.

use super::case::{Case, case, with_inner};

/// A tank whose contents are asked for one by one; product must not be in it while the cover is off.
const VESSEL: &str = "\
variants: { hose: [short, long] }
conditions:
  tank: { values: [empty, rinse, product], ask: { empty: Is it empty?, rinse: Is it rinse?, product: Is it product? } }
  cover: { values: [shut, open], ask: Is the cover shut? }
  tag: { values: [absent, hung], ask: Is there no tag? }
never:
  spill: { when: { cover: open, tank: product }, hazard: harm }
";

/// A level that nobody is asked about by one question, and that goes while the valve is open.
const LEVEL: &str = "\
conditions:
  valve: { values: [open, shut], ask: Is the valve open? }
  level:
    values: [high, low, none]
    ask: { high: Is it high?, low: Is it low?, none: Is it gone? }
    settles: { from: high, to: none, after: 30 s, while: { valve: open } }
";

pub(super) fn cases() -> Vec<Case> {
    [broken(), looks(), contradicted(), lasting(), plans()].into_iter().flatten().collect()
}

/// A look under an open cover, and what is done where the tank is not empty.
fn seen(then: &str) -> String {
    format!(
        "requires: {{ cover: open }}
steps:
  - {{ id: look, confirm: {{ tank: empty }}, otherwise: next }}
  - {{ id: end, do: Go., then: done }}
{then}"
    )
}

const TAG: &str = "  - { id: next, do: Hang the tag., leaves: { tag: hung } }";
const SHUT: &str = "  - { id: next, do: Shut the cover., leaves: { cover: shut } }";

fn broken() -> Vec<Case> {
    vec![
        case(
            "asked on, it has exactly the value that must not be, and another act comes next",
            VESSEL,
            &seen(TAG),
            &["unmended(next [] body)"],
        ),
        case(
            "asked on, it has exactly the value that must not be, and the next act ends it",
            VESSEL,
            &seen(SHUT),
            &[],
        ),
        case(
            "one of the other values has no question: nobody asks on",
            &VESSEL.replace("rinse: Is it rinse?, ", ""),
            &seen(TAG),
            &[],
        ),
        case(
            "one question for all values: nobody asks on",
            &VESSEL.replace(
                "{ empty: Is it empty?, rinse: Is it rinse?, product: Is it product? }",
                "What is in it?",
            ),
            &seen(TAG),
            &[],
        ),
        case(
            "only what is asked for has no question: it is asked on",
            &VESSEL.replace("empty: Is it empty?, ", ""),
            &seen(TAG),
            &["unmended(next [] body)"],
        ),
        case(
            "asked for two values, and the third is all that is left: it need not be asked for",
            VESSEL,
            &seen(TAG).replace("{ tank: empty }", "{ tank: [empty, product] }"),
            &[],
        ),
        case(
            "a reading is not asked on",
            VESSEL,
            "requires: { cover: open }
steps:
  - id: look
    measure: { what: the tank, instrument: gauge, at_most: 1 V, shows: { tank: empty } }
    otherwise: next
  - { id: end, do: Go., then: done }
  - { id: next, do: Hang the tag., leaves: { tag: hung } }",
            &[],
        ),
    ]
}

fn looks() -> Vec<Case> {
    let rounds = |inside: &str| {
        format!(
            "requires: {{ cover: open }}
steps:
  - id: rounds
    repeat:
      until: {{ tank: empty }}
      at_most: 2
      steps: [{inside}]
    otherwise: shut
  - {{ id: end, do: Go., then: done }}
  - {{ id: shut, do: Shut the cover., leaves: {{ cover: shut }} }}"
        )
    };
    vec![
        case(
            "asked on at the end of a round, and the next round does not end what was found",
            VESSEL,
            &rounds("{ id: tag, do: Hang the tag., leaves: { tag: hung } }"),
            &["unmended(rounds/tag [2] body)"],
        ),
        case(
            "asked on at the end of a round, and the next round ends what was found",
            VESSEL,
            &rounds("{ id: drain, do: Drain it., leaves: { tank: empty } }"),
            &[],
        ),
        case(
            "asked on at a verified look: there is nothing to verify",
            VESSEL,
            &seen(TAG).replace("otherwise: next", "otherwise: next, verified_by: technician"),
            &["unmended(next [] body)"],
        ),
        case(
            "asked on, and what the look disturbs comes after what was found",
            VESSEL,
            &seen(TAG).replace("otherwise: next", "otherwise: next, disturbs: [cover]"),
            &["rule(spill, look [] body)", "unmended(next [] body)"],
        ),
        case(
            "asked on at the first of two ticks",
            VESSEL,
            &seen(TAG).replace("{ tank: empty }", "{ tank: empty, tag: absent }"),
            &["unmended(next [] body)"],
        ),
        case(
            "asked on at a wait until something is so",
            VESSEL,
            &seen(TAG).replace("confirm: { tank: empty }", "wait: { until: { tank: empty }, limit: 30 s }"),
            &["unmended(next [] body)"],
        ),
        case(
            "asked on at a step for one variant, and what ends nothing is for the other",
            VESSEL,
            "requires: { cover: open }
steps:
  - { id: look, only: { hose: short }, confirm: { tank: empty }, otherwise: next }
  - { id: end, do: Go., then: done }
  - { id: next, only: { hose: long }, do: Hang the tag., leaves: { tag: hung } }
  - { id: mend, do: Shut the cover., leaves: { cover: shut } }",
            &[],
        ),
        case(
            "asked on for every variant, and what ends nothing is for one",
            VESSEL,
            &seen(
                "  - { id: next, only: { hose: long }, do: Hang the tag., leaves: { tag: hung } }
  - { id: mend, do: Shut the cover., leaves: { cover: shut } }",
            ),
            &["unmended(next [] body)"],
        ),
        with_inner(
            "asked on in a performed procedure, and the caller has to end it",
            VESSEL,
            "requires: { cover: open }
steps:
  - { id: other, perform: inner }
  - { id: next, do: Hang the tag., leaves: { tag: hung } }",
            Some("steps: [{ id: look, confirm: { tank: empty }, otherwise: done }]"),
            &["unmended(next [] body)"],
        ),
        case(
            "what was opened is asked on as well",
            VESSEL,
            "requires: { cover: open, tank: empty }
steps:
  - { id: knock, do: Shut the cover and knock at the tank., leaves: { cover: shut }, disturbs: [tank] }
  - { id: look, confirm: { tank: empty }, otherwise: lift }
  - { id: end, do: Go., then: done }
  - { id: lift, confirm: { cover: shut }, otherwise: next }
  - { id: well, do: Go., then: done }
  - { id: next, do: Hang the tag., leaves: { tag: hung } }",
            &["unmended(next [] body)"],
        ),
    ]
}

fn contradicted() -> Vec<Case> {
    let waited = |look: &str, then: &str| {
        format!(
            "steps:
  - {{ id: vent, do: Open the valve., leaves: {{ valve: open }} }}
  - {{ id: wait, wait: {{ for: 30 s }} }}
  - {{ id: look, {look}, otherwise: longer }}
  - {{ id: end, do: Go., then: done }}
  - {{ id: longer, wait: {{ for: 30 s }} }}
{then}  - {{ id: use, do: Work., requires: {{ level: [low, none] }} }}"
        )
    };
    vec![
        case(
            "asked on, it is what the wait had ruled out: from then on only a look counts",
            LEVEL,
            &waited("confirm: { level: none }", ""),
            &["need(use [] body, level)"],
        ),
        case(
            "asked on, it is what the wait had ruled out: another look is the way",
            LEVEL,
            &waited(
                "confirm: { level: none }",
                "  - { id: relook, confirm: { level: [low, none] }, otherwise: stop }\n",
            ),
            &[],
        ),
        case(
            "not asked on, nothing that the wait had ruled out is told",
            &LEVEL.replace("low: Is it low?, ", ""),
            &waited("confirm: { level: none }", ""),
            &[],
        ),
        case(
            "asked on after a wait until something is so, it is what that wait had ruled out",
            LEVEL,
            &waited("wait: { for: 30 s, until: { level: none }, limit: 60 s }", ""),
            &["need(use [] body, level)"],
        ),
    ]
}

fn lasting() -> Vec<Case> {
    let fed = format!(
        "{LEVEL}    lost_when: {{ valve: shut }}
  door: {{ values: [shut, open], ask: Is the door shut? }}
  tag: {{ values: [absent, hung], ask: Is there no tag? }}
never:
  deep: {{ when: {{ level: low, door: open }}, hazard: harm }}
"
    );
    let steps = |valve: &str| {
        format!(
            "requires: {{ door: open, valve: {valve} }}
steps:
  - {{ id: look, confirm: {{ level: none }}, otherwise: next }}
  - {{ id: end, do: Go., then: done }}
  - {{ id: next, do: Hang the tag., leaves: {{ tag: hung }} }}"
        )
    };
    vec![
        case(
            "asked on while something fills it: what is told does not last, and yet it was so",
            &fed,
            &steps("shut"),
            &["unmended(next [] body)"],
        ),
        case(
            "asked on while nothing fills it: what is told lasts",
            &fed,
            &steps("open"),
            &["unmended(next [] body)"],
        ),
    ]
}

fn plans() -> Vec<Case> {
    let rest = |acts: &str| {
        format!(
            "{VESSEL}safe_state: {{ tag: absent }}
actions:
  untag: {{ do: Take the tag off., restores: true, leaves: {{ tag: absent }} }}
{acts}"
        )
    };
    let shut = "  shut: { do: Shut the cover., restores: true, leaves: { cover: shut } }\n";
    vec![
        case("asked on, what was found is ended by no plan", &rest(""), &seen(SHUT), &["stop(next [] body)"]),
        case("asked on, what was found is ended by a plan", &rest(shut), &seen(SHUT), &[]),
        case(
            "asked on and stopped, what was found is ended by no plan",
            &rest(""),
            &seen(SHUT).replace("otherwise: next", "otherwise: stop"),
            &["stop(look [] body → stop)"],
        ),
        case(
            "asked on at the first of two ticks, what was found is ended by no plan between them",
            &rest(""),
            &seen(SHUT).replace("{ tank: empty }", "{ tank: empty, tag: absent }"),
            &["stop(look [] tick 2)", "stop(next [] body)"],
        ),
    ]
}
