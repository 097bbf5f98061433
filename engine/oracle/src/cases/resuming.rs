//! Taking up again: what is looked at again, what stays, what is waited for, and what nobody knows any more.

use super::case::{Case, case};
use super::rigs::CHARGE;

/// A level that only an instrument shows; a mark of which the record keeps.
const LEVEL: &str = "\
conditions:
  level: { values: [low, well] }
  mark: { values: [low, well], keeps: true }
  valve: { values: [shut, open], ask: Is the valve shut? }
";

/// A gasket that is seen only behind the open cover.
const COVERED: &str = "\
conditions:
  cover: { values: [shut, open], ask: Is the cover shut? }
  gasket: { values: [fit, worn], ask: Is the gasket fit?, seen_when: { cover: open } }
  proof: { values: [current, spoilt], lost_when: { cover: open } }
";

/// A gasket behind a cover that nobody can look at.
const UNSEEN_COVER: &str = "\
conditions:
  cover: { values: [shut, open] }
  gasket: { values: [fit, worn], ask: Is the gasket fit?, seen_when: { cover: open } }
";

/// A charge under a switch that nobody can look at.
const UNSEEN_CAUSE: &str = "\
conditions:
  mains: { values: [off, on] }
  charge: { values: [present, gone], settles: { from: present, to: gone, after: 45 s, while: { mains: off } } }
";

pub(super) fn cases() -> Vec<Case> {
    let two = |condition: &str| {
        format!(
            "steps:
  - {{ id: set, do: Set it., leaves: {{ {condition}: well }} }}
  - {{ id: use, do: Work., requires: {{ {condition}: well }} }}"
        )
    };
    vec![
        case("what only an instrument shows is not known again", LEVEL, &two("level"), &["resume(use [] body, level)"]),
        case(
            "what settles and is measured is not known again",
            "conditions:
  level: { values: [low, well], seen_by: measure, settles: { from: low, to: well, after: 9 s, while: none } }
",
            &two("level"),
            &["resume(use [] body, level)"],
        ),
        case(
            "what nobody sees and a wait brings is known again",
            "conditions:
  level: { values: [low, well], seen_by: nobody, settles: { from: low, to: well, after: 9 s, while: none } }
",
            &two("level"),
            &[],
        ),
        case(
            "a wait ends one value, and of three tells the other two not apart",
            "conditions:
  level: { values: [low, well, foul], seen_by: nobody, settles: { from: low, to: well, after: 9 s, while: none } }
",
            &two("level"),
            &["resume(use [] body, level)"],
        ),
        case(
            "of what keeps the wait is anew, and nobody has brought about a third value",
            "conditions:
  level: { values: [low, well, foul], seen_by: nobody, keeps: true, settles: { from: low, to: well, after: 9 s, while: none } }
",
            "steps:
  - { id: set, do: Set it., leaves: { level: low } }
  - { id: rest, wait: { for: 5 s } }
  - { id: look, do: Go on. }
  - { id: more, wait: { for: 5 s } }
  - { id: use, do: Work., requires: { level: well } }",
            &[],
        ),
        case("what keeps is known again", LEVEL, &two("mark"), &[]),
        case(
            "what nothing relies on need not be known again",
            LEVEL,
            "steps:
  - { id: set, do: Set it., leaves: { level: well } }
  - { id: end, do: Go. }",
            &[],
        ),
        case(
            "what is promised is relied on, at done too",
            LEVEL,
            "leaves: { level: well }
steps:
  - { id: set, do: Set it., leaves: { level: well } }",
            &["resume(done, level)"],
        ),
        case(
            "what an act wrote has to be normal at done: it is relied on",
            "conditions:
  level: { values: [low, well], normal: well }
  valve: { values: [shut, open], normal: shut }
",
            "steps:
  - { id: set, do: Set it., leaves: { level: well } }",
            &["resume(done, level)"],
        ),
        case(
            "what a rule over a later act reads is relied on",
            &format!("{LEVEL}never: {{ flood: {{ when: {{ level: low, valve: open }}, hazard: harm }} }}\n"),
            "requires: { valve: shut }
steps:
  - { id: set, do: Set it., leaves: { level: well } }
  - { id: open, do: Open the valve., leaves: { valve: open } }",
            &["resume(open [] body, level)"],
        ),
        case(
            "in the act it is not known again either",
            LEVEL,
            "steps:
  - { id: both, do: Set both., leaves: { level: well, mark: well } }
  - { id: read, measure: { what: the level, instrument: gauge, at_least: 1 V, shows: { level: well } }, otherwise: stop }
  - { id: use, do: Work., requires: { mark: well } }",
            &[],
        ),
        case(
            "in the act what its first write left is relied on",
            LEVEL,
            "steps:
  - { id: both, do: Set both., leaves: { level: well, mark: well } }
  - { id: use, do: Work., requires: { level: well } }",
            &["resume(both [] in act 1, level)", "resume(use [] body, level)"],
        ),
        case(
            "behind the shut cover it stays as recorded",
            COVERED,
            "requires: { cover: open }
steps:
  - { id: look, confirm: { gasket: fit }, otherwise: stop }
  - { id: shut, do: Shut the cover., leaves: { cover: shut } }
  - { id: use, do: Work., requires: { gasket: fit } }",
            &[],
        ),
        case(
            "behind a cover of which nothing is known it is not known again",
            COVERED,
            "requires: { cover: open }
steps:
  - { id: look, confirm: { gasket: fit }, otherwise: stop }
  - { id: knock, do: Knock at the cover., disturbs: [cover] }
  - { id: use, do: Work., requires: { gasket: fit } }",
            &["resume(use [] body, gasket)"],
        ),
        case(
            "behind a shut cover that nobody can look at it is not known again",
            UNSEEN_COVER,
            "requires: { cover: open, gasket: fit }
steps:
  - { id: shut, do: Shut the cover., leaves: { cover: shut } }
  - { id: use, do: Work., requires: { gasket: fit } }",
            &["resume(use [] body, gasket)"],
        ),
        case(
            "evidence behind the shut cover stands",
            COVERED,
            "requires: { cover: shut }
steps:
  - { id: make, do: Test it., leaves: { proof: current } }
  - { id: use, do: Work., requires: { proof: current } }",
            &[],
        ),
        case(
            "evidence whose cause may have come about does not stand",
            COVERED,
            "steps:
  - { id: make, do: Test it., leaves: { proof: current } }
  - { id: use, do: Work., requires: { proof: current } }",
            &["resume(use [] body, proof)"],
        ),
        case(
            "a clock that had partly run is waited for in full",
            CHARGE,
            "requires: { guard: shut, mains: off }
steps:
  - { id: first, wait: { for: 20 s } }
  - { id: second, wait: { for: 25 s } }
  - { id: open, do: Open the guard., leaves: { guard: open } }",
            &[],
        ),
        case(
            "a clock that had partly run under a cause that nobody can look at",
            UNSEEN_CAUSE,
            "requires: { mains: off }
steps:
  - { id: first, wait: { for: 20 s } }
  - { id: second, wait: { for: 25 s } }
  - { id: use, do: Work., requires: { charge: gone } }",
            &[
                "resume(first [] body, mains)",
                "resume(second [] body, charge)",
                "resume(second [] body, mains)",
                "resume(use [] body, charge)",
            ],
        ),
        case(
            "what keeps keeps no clock that had partly run",
            &UNSEEN_CAUSE.replace("settles: {", "keeps: true, settles: {"),
            "requires: { mains: off }
steps:
  - { id: first, wait: { for: 20 s } }
  - { id: second, wait: { for: 25 s } }
  - { id: use, do: Work., requires: { charge: gone } }",
            &[
                "resume(first [] body, mains)",
                "resume(second [] body, charge)",
                "resume(second [] body, mains)",
            ],
        ),
        case(
            "no `while` can hold when work is taken up again",
            CHARGE,
            "requires: { guard: shut, mains: off }
steps:
  - { id: wait, wait: { for: 45 s } }
  - { id: on, do: Switch on., leaves: { mains: on } }
  - { id: open, do: Open the guard., leaves: { guard: open } }",
            &["resume(open [] body, charge)"],
        ),
        case(
            "between two ticks what was ticked is looked at again, what nobody sees is not",
            &format!("{CHARGE}safe_state: {{ guard: shut }}\n"),
            "requires: { guard: shut, mains: off }
steps:
  - { id: wait, wait: { for: 45 s } }
  - { id: look, confirm: { guard: shut, mains: off }, otherwise: stop }
  - { id: use, do: Work., requires: { charge: gone } }",
            &[
                "stop(look [] tick 2)",
                "stop(look [] tick 2 → stop)",
                "universal",
            ],
        ),
    ]
}
