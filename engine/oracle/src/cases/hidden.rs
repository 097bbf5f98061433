//! What nobody sees: proved by acts and waits under their cause; evidence with one cause and with several.

use super::case::{Case, case, with_inner};
use super::rigs::CHARGE;

/// The same charge, whose cause nothing sustains.
const EVENT: &str = "\
conditions:
  mains: { values: [off, on], ask: Is the switch at 0? }
  guard: { values: [shut, open], ask: Is the guard shut? }
  charge: { values: [present, gone], settles: { from: present, to: gone, after: 45 s, while: none } }
never:
  charged: { when: { guard: open, charge: present }, hazard: harm }
";

/// A charge that comes back with the mains.
const BACK: &str = "\
conditions:
  mains: { values: [off, on], ask: Is the switch at 0? }
  charge:
    values: [present, gone]
    settles: { from: present, to: gone, after: 45 s, while: { mains: off } }
    lost_when: { mains: on }
";

/// Evidence that both together end.
const BOTH: &str = "\
conditions:
  left: { values: [shut, open], ask: Is the left shut? }
  right: { values: [shut, open], ask: Is the right shut? }
  proof: { values: [current, spoilt], lost_when: { left: open, right: open } }
";

/// Evidence that either ends.
const EITHER: &str = "\
conditions:
  left: { values: [shut, open], ask: Is the left shut? }
  right: { values: [shut, open], ask: Is the right shut? }
  proof: { values: [current, spoilt], lost_when: [{ left: open }, { right: open }] }
";

/// Times that a variant decides.
const TIP: &str = "\
variants: { tip: [fine, wide] }
amounts:
  purge:
    method: line-purge
    bore: 10 mm
    length: 1 m
    volumes: 1
    round_up: 5 s
    flow: { $tip: { wide: 1 L/min, fine: 0.35 L/min } }
conditions:
  mains: { values: [off, on], ask: Is the switch at 0? }
  line: { values: [filled, clear], settles: { from: filled, to: clear, after: 10 s, while: none } }
";

pub(super) fn cases() -> Vec<Case> {
    [waits(), evidence(), variants()].into_iter().flatten().collect()
}

fn waits() -> Vec<Case> {
    let switched = |act: &str, time: &str| {
        format!(
            "requires: {{ guard: shut }}
steps:
  - {{ id: switch, do: Switch., leaves: {{ mains: {act} }} }}
  - {{ id: wait, wait: {{ for: {time} }} }}
  - {{ id: open, do: Open the guard., leaves: {{ guard: open }} }}"
        )
    };
    let several = |steps: &str| {
        format!(
            "requires: {{ guard: shut }}
steps:
  - {{ id: off, do: Switch off., leaves: {{ mains: off }} }}
  - {{ id: first, wait: {{ for: 20 s }} }}
{steps}
  - {{ id: open, do: Open the guard., leaves: {{ guard: open }} }}"
        )
    };
    vec![
        case(
            "switched to 1 and waited: time does not count",
            CHARGE,
            &switched("on", "45 s"),
            &["rule(charged, open [] body)"],
        ),
        case("isolated and waited", CHARGE, &switched("off", "45 s"), &[]),
        case(
            "isolated and waited a second too short",
            CHARGE,
            &switched("off", "44 s"),
            &["rule(charged, open [] body)"],
        ),
        case(
            "a cause that nothing sustains: time counts under voltage too",
            EVENT,
            &switched("on", "45 s"),
            &[],
        ),
        case("two waits add up", CHARGE, &several("  - { id: second, wait: { for: 25 s } }"), &[]),
        case(
            "the cause stops between two waits: the clock begins anew",
            CHARGE,
            &several(
                "  - { id: on, do: Switch on., leaves: { mains: on } }
  - { id: again, do: Switch off., leaves: { mains: off } }
  - { id: second, wait: { for: 25 s } }",
            ),
            &["rule(charged, open [] body)"],
        ),
        case(
            "the cause may have stopped between two waits: the clock begins anew",
            CHARGE,
            &several(
                "  - { id: knock, do: Knock at it., disturbs: [mains] }
  - { id: look, confirm: { mains: off }, otherwise: stop }
  - { id: second, wait: { for: 25 s } }",
            ),
            &["rule(charged, open [] body)"],
        ),
        case(
            "the cause may have stopped between two waits: the whole time is waited",
            CHARGE,
            &several(
                "  - { id: knock, do: Knock at it., disturbs: [mains] }
  - { id: look, confirm: { mains: off }, otherwise: stop }
  - { id: second, wait: { for: 45 s } }",
            ),
            &[],
        ),
        case(
            "a step's own wait does not count for what it leaves",
            CHARGE,
            "requires: { guard: shut }
steps:
  - { id: wait, wait: { for: 45 s }, leaves: { mains: off } }
  - { id: open, do: Open the guard., leaves: { guard: open } }",
            &["rule(charged, open [] body)"],
        ),
        case(
            "an act may write what nobody sees",
            CHARGE,
            "requires: { guard: shut, mains: off }
steps:
  - { id: short, do: Hold the stick to it., leaves: { charge: gone } }
  - { id: open, do: Open the guard., leaves: { guard: open } }",
            &[],
        ),
        case(
            "an act brings it back: the clock begins anew",
            CHARGE,
            &several(
                "  - { id: second, wait: { for: 25 s } }
  - { id: fill, do: Charge it., leaves: { charge: present } }
  - { id: third, wait: { for: 20 s } }",
            ),
            &["rule(charged, open [] body)"],
        ),
        case(
            "what has settled comes back with its cause",
            BACK,
            "requires: { mains: off }
steps:
  - { id: wait, wait: { for: 45 s } }
  - { id: use, do: Work., requires: { charge: gone } }
  - { id: on, do: Switch on., leaves: { mains: on } }
  - { id: late, do: Work., requires: { charge: gone } }",
            &["need(late [] body, charge)"],
        ),
    ]
}

fn evidence() -> Vec<Case> {
    let opened = |what: &str| {
        format!(
            "requires: {{ left: shut, right: shut }}
steps:
  - {{ id: make, do: Look over it., leaves: {{ proof: current }} }}
  - {{ id: open, do: Open., leaves: {{ {what} }} }}
  - {{ id: use, do: Work., requires: {{ proof: current }} }}"
        )
    };
    vec![
        case("a map of causes: one of them is not enough", BOTH, &opened("left: open"), &[]),
        case(
            "a map of causes: all of them",
            BOTH,
            &opened("left: open, right: open"),
            &["need(use [] body, proof)"],
        ),
        case(
            "a list of causes: one is enough",
            EITHER,
            &opened("right: open"),
            &["need(use [] body, proof)"],
        ),
        case("a list of causes: none of them", EITHER, &opened("right: shut"), &[]),
        case(
            "evidence that is made after its cause in one act stands, but not over an interruption",
            EITHER,
            "requires: { left: shut, right: shut }
steps:
  - { id: make, do: Open and look., leaves: { left: open, proof: current } }
  - { id: use, do: Work., requires: { proof: current } }",
            &["resume(use [] body, proof)"],
        ),
        case(
            "evidence that is made before its cause in one act does not stand",
            EITHER,
            "requires: { left: shut, right: shut }
steps:
  - { id: make, do: Look and open., leaves: { proof: current, left: open } }
  - { id: use, do: Work., requires: { proof: current } }",
            &["need(use [] body, proof)"],
        ),
    ]
}

fn variants() -> Vec<Case> {
    vec![
        case(
            "a time that is too short for one variant",
            TIP,
            "steps:
  - { id: fill, do: Fill it., leaves: { line: filled } }
  - { id: wait, wait: { for: $purge } }
  - { id: use, do: Work., requires: { line: clear } }",
            &["need(use [] body, line)"],
        ),
        case(
            "a further wait for the variant that needs it",
            TIP,
            "steps:
  - { id: fill, do: Fill it., leaves: { line: filled } }
  - { id: wait, wait: { for: $purge } }
  - { id: more, only: { tip: wide }, wait: { for: 5 s } }
  - { id: use, do: Work., requires: { line: clear } }",
            &[],
        ),
        with_inner(
            "what a performed procedure requires of the hidden is met by its caller",
            CHARGE,
            "requires: { guard: shut, mains: off }
steps:
  - { id: wait, wait: { for: 45 s } }
  - { id: other, perform: inner }",
            Some(
                "requires: { charge: gone }\nsteps: [{ id: open, do: Open the guard., leaves: { guard: open } }]",
            ),
            &[],
        ),
    ]
}
