//! What is asserted at the start.

use super::case::{Case, case};
use super::rigs::{CHARGE, PLUG};

/// A cover that is shut normally.
const COVER: &str = "\
conditions:
  cover: { values: [shut, open], normal: shut, ask: Is the cover shut? }
  pump: { values: [off, on], ask: Is the pump off? }
never:
  splash: { when: { cover: open, pump: on }, hazard: harm }
";

/// Evidence that hangs on a cover that is shut normally.
const KEPT: &str = "\
conditions:
  cover: { values: [shut, open], normal: shut, ask: Is the cover shut? }
  gasket: { values: [inspected, uninspected], keeps: true, lost_when: { cover: open } }
";

pub(super) fn cases() -> Vec<Case> {
    vec![
        case(
            "what is asserted surely breaks a rule",
            PLUG,
            "requires: { guard: open, mains: plugged }
steps: [{ id: act, do: Act. }]",
            &["rule(naked, start)"],
        ),
        case(
            "what is not asserted may break a rule: that is no fault of the start",
            PLUG,
            "requires: { guard: open }
steps: [{ id: act, do: Act. }]",
            &[],
        ),
        case(
            "the hidden may have any value at the start",
            CHARGE,
            "requires: { guard: open }
steps: [{ id: act, do: Act. }]",
            &[],
        ),
        case(
            "what nobody sees cannot be required by hand",
            CHARGE,
            "requires: { charge: gone, guard: shut, mains: off }
steps: [{ id: open, do: Open the guard., leaves: { guard: open } }]",
            &["need(start, charge)"],
        ),
        case(
            "what the steps rely on is asserted to be normal",
            COVER,
            "steps: [{ id: on, do: Switch on., leaves: { pump: on } }]",
            &[],
        ),
        case(
            "what nothing relies on is not asserted to be normal",
            COVER,
            "requires: { pump: on }
steps:
  - id: look
    ask: Which is it?
    answers: { shut: { shows: { cover: shut }, then: end }, open: { shows: { cover: open }, then: stop } }
  - { id: end, do: Go., requires: { cover: shut } }",
            &[],
        ),
        case(
            "what nothing relies on is not asserted to be normal: a look finds it out without a surprise",
            KEPT,
            "steps:
  - { id: make, do: Look over the gasket., leaves: { gasket: inspected } }
  - id: look
    ask: Which is it?
    answers: { shut: { shows: { cover: shut }, then: use }, open: { shows: { cover: open }, then: use } }
  - { id: use, do: Work., requires: { gasket: inspected } }",
            &[],
        ),
        case(
            "what the procedure requires otherwise is not asserted to be normal",
            COVER,
            "requires: { cover: open }
steps: [{ id: on, do: Switch on., leaves: { pump: on } }]",
            &["rule(splash, on [] body)"],
        ),
        case(
            "the hidden is not asserted to be normal",
            "conditions:
  charge: { values: [present, gone], normal: gone, settles: { from: present, to: gone, after: 9 s, while: none } }
",
            "steps: [{ id: use, do: Work., requires: { charge: gone } }]",
            &["need(use [] body, charge)"],
        ),
        case(
            "what the steps look at first is not asserted",
            COVER,
            "steps:
  - { id: look, confirm: { cover: shut }, otherwise: on }
  - { id: end, do: Go., then: done }
  - { id: on, do: Switch on., leaves: { pump: on } }",
            &["rule(splash, on [] body)"],
        ),
    ]
}
