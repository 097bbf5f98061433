//! A look brings nothing about: what it shows to be broken is found broken, and the next act ends it.

use super::case::{Case, case};
use super::rigs::PUMP;

pub(super) fn cases() -> Vec<Case> {
    [ended(), otherwise()].into_iter().flatten().collect()
}

/// A valve that is known to be shut, a look at the pump, and what is done where it runs.
fn seen(then: &str) -> String {
    format!(
        "requires: {{ valve: shut, door: shut }}
steps:
  - {{ id: look, confirm: {{ pump: off }}, otherwise: next }}
  - {{ id: end, do: Go., then: done }}
{then}"
    )
}

fn ended() -> Vec<Case> {
    vec![
        case(
            "found broken, and ended by the next act",
            PUMP,
            &seen("  - { id: next, do: Switch the pump off., leaves: { pump: off } }"),
            &[],
        ),
        case(
            "found broken, and ended by the next act in its second write",
            PUMP,
            &seen(
                "  - { id: next, do: Hang a tag and switch the pump off., leaves: { tag: hung, pump: off } }",
            ),
            &[],
        ),
        case(
            "found broken, and looked at again before it is ended",
            PUMP,
            &seen(
                "  - { id: next, confirm: { tag: absent }, otherwise: mend }
  - { id: mend, do: Switch the pump off., leaves: { pump: off } }",
            ),
            &[],
        ),
        case(
            "found broken and stopped: the plans are asked",
            PUMP,
            "requires: { valve: shut, door: shut }
steps:
  - { id: look, confirm: { pump: off }, otherwise: stop }",
            &[],
        ),
        case(
            "found broken by a look that then shows the other way",
            PUMP,
            &seen(
                "  - { id: next, confirm: { pump: on }, otherwise: end2 }
  - { id: mend, do: Switch the pump off., leaves: { pump: off }, then: done }
  - { id: end2, do: Go., requires: { tag: [absent, hung] } }",
            ),
            &["unmended(end2 [] body)"],
        ),
        case(
            "found broken, entered a block, and ended by whichever item comes first",
            PUMP,
            &seen(
                "  - id: next
    any_order:
      - { id: one, do: Switch the pump off., leaves: { pump: off } }
      - { id: two, do: Open the valve., leaves: { valve: open } }",
            ),
            &[],
        ),
        case(
            "two rules are found broken, and each act ends one",
            PUMP,
            "requires: { valve: shut, door: open }
steps:
  - { id: look, confirm: { pump: off }, otherwise: next }
  - { id: end, do: Go., then: done }
  - { id: next, do: Shut the door., leaves: { door: shut } }
  - { id: last, do: Open the valve., leaves: { valve: open } }",
            &[],
        ),
        case(
            "the act that ends one of two found broken writes a condition of the other, which stays found broken",
            PUMP,
            "requires: { valve: shut, door: open }
steps:
  - id: look
    ask: Does the pump run?
    answers: { no: { shows: { pump: off }, then: end }, yes: { shows: { pump: on }, then: next } }
  - { id: end, do: Go., then: done }
  - { id: next, do: Shut both., leaves: { door: shut, valve: shut } }
  - { id: last, do: Switch the pump off., leaves: { pump: off } }",
            &[],
        ),
        case(
            "what is merely possible is not found broken",
            PUMP,
            "requires: { door: shut }
steps:
  - { id: look, confirm: { pump: off }, otherwise: next }
  - { id: end, do: Go., then: done }
  - { id: next, do: Hang the tag., leaves: { tag: hung } }",
            &[],
        ),
        case(
            "what is merely possible counts when an act writes one of its conditions",
            PUMP,
            "requires: { door: shut }
steps:
  - { id: look, confirm: { pump: off }, otherwise: next }
  - { id: end, do: Go., then: done }
  - { id: next, do: Work at the valve., disturbs: [valve] }",
            &["rule(dry, next [] body)"],
        ),
        case(
            "an act is no look: what it may break is refuted",
            PUMP,
            "requires: { valve: shut, door: shut, pump: off }
steps:
  - { id: act, do: Switch on., leaves: { pump: on } }",
            &["rule(dry, act [] body)"],
        ),
    ]
}

fn otherwise() -> Vec<Case> {
    vec![
        case(
            "found broken, and another act comes next",
            PUMP,
            &seen("  - { id: next, do: Hang the tag., leaves: { tag: hung } }"),
            &["unmended(next [] body)"],
        ),
        case(
            "found broken, and an act that changes nothing comes next",
            PUMP,
            &seen("  - { id: next, do: Look away. }"),
            &["unmended(next [] body)"],
        ),
        case(
            "found broken, and a wait comes next",
            PUMP,
            &seen(
                "  - { id: next, wait: { for: 5 s } }
  - { id: mend, do: Switch the pump off., leaves: { pump: off } }",
            ),
            &["unmended(next [] body)"],
        ),
        case(
            "found broken, and a hold point comes next",
            PUMP,
            &seen(
                "  - { id: next, hold: { released_by: technician, check: Check it. } }
  - { id: mend, do: Switch the pump off., leaves: { pump: off } }",
            ),
            &["unmended(next [] body)"],
        ),
        case(
            "found broken, and done",
            PUMP,
            "requires: { valve: shut, door: shut }
steps:
  - { id: look, confirm: { pump: off }, otherwise: done }",
            &["unmended(done)"],
        ),
        case(
            "found broken, and one item of a block does not end it",
            PUMP,
            &seen(
                "  - id: next
    any_order:
      - { id: one, do: Switch the pump off., leaves: { pump: off } }
      - { id: two, do: Hang the tag., leaves: { tag: hung } }",
            ),
            &["unmended(next/two [] body)"],
        ),
        case(
            "two rules are found broken, and only one is ended",
            PUMP,
            "requires: { valve: shut, door: open }
steps:
  - { id: look, confirm: { pump: off }, otherwise: next }
  - { id: end, do: Go., then: done }
  - { id: next, do: Shut the door., leaves: { door: shut } }
  - { id: last, do: Hang the tag., leaves: { tag: hung } }",
            &["unmended(last [] body)"],
        ),
        case(
            "the act that ends what was found makes another rule true",
            PUMP,
            &seen("  - { id: next, do: Open both., leaves: { door: open, valve: open } }"),
            &["rule(reach, next [] body)"],
        ),
    ]
}
