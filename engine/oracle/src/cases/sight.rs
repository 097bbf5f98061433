//! Looks at what is covered: `seen_when` says when a condition can be seen, and every kind of look needs that.

use super::case::{Case, case};

/// A part under a cover.
const COVERED: &str = "\
conditions:
  cover: { values: [shut, open], ask: Is the cover shut? }
  part: { values: [fit, loose], ask: Is it fit?, seen_when: { cover: open } }
";

pub(super) fn cases() -> Vec<Case> {
    vec![
        case(
            "a look under an open cover",
            COVERED,
            "requires: { cover: open }
steps: [{ id: look, confirm: { part: fit }, otherwise: stop }]",
            &[],
        ),
        case(
            "a look through a cover that was shut",
            COVERED,
            "steps:
  - { id: shut, do: Shut it., leaves: { cover: shut } }
  - { id: look, confirm: { part: fit }, otherwise: stop }",
            &["need(look [] body, cover)"],
        ),
        case(
            "a look under a cover that nobody opened for sure",
            COVERED,
            "steps: [{ id: look, confirm: { part: fit }, otherwise: stop }]",
            &["need(look [] body, cover)"],
        ),
        case(
            "one look at a cover and at what is under it asks for both at once",
            COVERED,
            "steps: [{ id: look, confirm: { cover: open, part: fit }, otherwise: stop }]",
            &["need(look [] body, cover)"],
        ),
        case(
            "a look at the cover, then at what is under it",
            COVERED,
            "steps:
  - { id: cover, confirm: { cover: open }, otherwise: stop }
  - { id: look, confirm: { part: fit }, otherwise: stop }",
            &[],
        ),
        case(
            "a question about what is covered",
            COVERED,
            "steps:
  - id: look
    ask: How is it?
    answers: { fit: { shows: { part: fit }, then: done }, loose: { shows: { part: loose }, then: done } }",
            &["need(look [] body, cover)"],
        ),
        case(
            "a question that shows nothing needs nothing",
            COVERED,
            "steps: [{ id: look, ask: How is it?, answers: { well: done, ill: stop } }]",
            &[],
        ),
        case(
            "a reading of what is covered, at each attempt",
            COVERED,
            "requires: { cover: open }
steps:
  - id: look
    measure: { what: the gap, instrument: gauge, at_most: 1 V, shows: { part: fit }, retests: 1 }
    disturbs: [cover]
    otherwise: stop",
            &["need(look [] attempt 2, cover)"],
        ),
        case(
            "a wait until what is covered is so",
            COVERED,
            "steps: [{ id: look, wait: { until: { part: fit }, limit: 60 s }, otherwise: stop }]",
            &["need(look [] body, cover)"],
        ),
        case(
            "rounds that open the cover and then look",
            COVERED,
            "steps:
  - id: again
    repeat:
      at_most: 2
      until: { part: fit }
      steps: [{ id: open, do: Open it., leaves: { cover: open } }]
    otherwise: stop",
            &[],
        ),
        case(
            "rounds that shut the cover and then look",
            COVERED,
            "steps:
  - id: again
    repeat:
      at_most: 2
      until: { part: fit }
      steps: [{ id: shut, do: Shut it., leaves: { cover: shut } }]
    otherwise: stop",
            &["need(again [] until 1, cover)"],
        ),
    ]
}
