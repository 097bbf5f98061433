//! Items offered again: a look in one item of a group contradicts what another one left.

use super::case::{Case, case, with_inner};

/// A valve and what may be seen beside it; a seal that an open valve ends, and a permit that nobody is asked about.
const VALVE: &str = "\
variants: { hose: [short, long] }
conditions:
  valve: { values: [open, shut], ask: Is the valve open? }
  cover: { values: [shut, open], ask: Is the cover shut? }
  tag: { values: [absent, hung], ask: Is there no tag? }
  seal: { values: [whole, broken], keeps: true, lost_when: { valve: open } }
  permit: { values: [given, none] }
";

/// A question about the valve, after which the performed procedure is over.
const ASK: &str = "\
steps:
  - id: look
    ask: Is the valve shut?
    answers: { yes: { shows: { valve: shut }, then: done }, no: { shows: { valve: open }, then: done } }";

const CLOSE: &str = "{ id: close, do: Shut the valve., leaves: { valve: shut } }";
const TEST: &str = "{ id: test, perform: inner }";

pub(super) fn cases() -> Vec<Case> {
    [again(), looks(), not_again(), once(), beside()].into_iter().flatten().collect()
}

/// A group of these items, after which the valve has to be shut.
fn group(items: &[&str]) -> String {
    format!("leaves: {{ valve: shut }}\n{}", group_of(items))
}

fn group_of(items: &[&str]) -> String {
    let items: String = items.iter().map(|item| format!("      - {item}\n")).collect();
    format!("steps:\n  - id: both\n    any_order:\n{items}")
}

fn asked(name: &'static str, steps: &str, expected: &[&'static str]) -> Case {
    with_inner(name, VALVE, steps, Some(ASK), expected)
}

fn again() -> Vec<Case> {
    let twice = "steps:
  - id: look
    ask: Are both shut?
    answers:
      yes: { shows: { valve: shut, cover: shut }, then: done }
      no: { shows: { valve: open, cover: open }, then: done }
      other: done";
    let repeated = "\
{ id: close, otherwise: stop, repeat: { until: { tag: hung }, at_most: 1, steps: [
          { id: turn, do: Shut the valve and tag it., leaves: { valve: shut, tag: hung } }
        ] } }";
    let held =
        "{ id: close, hold: { released_by: technician, check: Shut the valve. }, leaves: { valve: shut } }";
    vec![
        asked("an answer contradicts an item, which is done again", &group(&[CLOSE, TEST]), &[]),
        with_inner(
            "an answer contradicts two items, and both are done again",
            VALVE,
            &group(&[CLOSE, "{ id: lid, do: Shut the cover., leaves: { cover: shut } }", TEST])
                .replace("leaves: { valve: shut }\nsteps", "leaves: { valve: shut, cover: shut }\nsteps"),
            Some(twice),
            &[],
        ),
        asked("what an item does in rounds is its own", &group(&[repeated, TEST]), &[]),
        asked("what a hold point leaves is the own of its item", &group(&[held, TEST]), &[]),
        asked(
            "what the group leaves itself is the own of no item",
            &format!(
                "leaves: {{ tag: hung }}\n{}    leaves: {{ valve: shut }}\n",
                group_of(&[
                    "{ id: close, do: Shut the valve and tag it., leaves: { valve: shut, tag: hung } }",
                    TEST
                ])
            ),
            &["promise(tag)"],
        )
        .performing(&untagged()),
        asked(
            "the item that is done again does all that it did",
            &format!(
                "leaves: {{ tag: hung }}\n{}",
                group_of(&[
                    "{ id: close, do: Shut the valve and tag it., leaves: { valve: shut, tag: hung } }",
                    TEST
                ])
            ),
            &[],
        )
        .performing(&untagged()),
    ]
}

/// The same question; where the valve is open the tag is taken off.
fn untagged() -> String {
    format!(
        "{}\n  - {{ id: take, do: Take the tag off., leaves: {{ tag: absent }} }}",
        ASK.replace(
            "no: { shows: { valve: open }, then: done }",
            "no: { shows: { valve: open }, then: take }"
        )
    )
}

fn looks() -> Vec<Case> {
    let in_rounds = "\
{ id: test, otherwise: stop, repeat: { until: { tag: hung }, at_most: 2, steps: [
          { id: look, ask: Is the valve shut?, answers: {
            yes: { shows: { valve: shut }, then: go }, no: { shows: { valve: open }, then: go } } },
          { id: go, do: Hang the tag., leaves: { tag: hung } }
        ] } }";
    // Whoever tests needs the tag that closing leaves, and closing needs what an open valve ends.
    let sealed = |test: &str| {
        format!(
            "requires: {{ valve: shut, seal: whole, tag: absent }}\n{}",
            group_of(&[
                "{ id: close, do: Shut the valve and tag it., requires: { seal: whole }, leaves: { valve: shut, tag: hung } }",
                test
            ])
        )
    };
    let reading = |shows: &str| {
        sealed(&format!(
            "{{ id: test, requires: {{ tag: hung }}, otherwise: stop, measure: {{ what: the flow, instrument: gauge,\n          \
             at_most: 1 V, shows: {{ {shows} }}, retests: 1 }} }}"
        ))
    };
    vec![
        case("an answer in a round contradicts an item", VALVE, &group(&[CLOSE, in_rounds]), &[]),
        case(
            "a tick that is yes contradicts an item",
            VALVE,
            &group(&[CLOSE, "{ id: test, confirm: { valve: open }, otherwise: stop }"]),
            &[],
        ),
        case(
            "a tick that is verified contradicts an item",
            VALVE,
            &group(&[CLOSE, "{ id: test, confirm: { valve: open }, otherwise: stop, verified_by: technician }"]),
            &[],
        ),
        case(
            "a wait until something is so contradicts an item",
            VALVE,
            &group(&[CLOSE, "{ id: test, wait: { until: { valve: open }, limit: 30 s }, otherwise: stop }"]),
            &[],
        ),
        case(
            "the look that ends a round contradicts an item, which needs again what it needs",
            VALVE,
            &sealed(
                "{ id: test, requires: { tag: hung }, otherwise: stop, repeat: { until: { valve: shut }, at_most: 2, steps: [
          { id: stir, do: Stir. }
        ] } }",
            ),
            &["need(both/close [] body, seal)", "need(both/test [] body, tag)"],
        ),
        case(
            "a reading that is taken again contradicts an item, which needs again what it needs",
            VALVE,
            &reading("valve: shut"),
            &["need(both/close [] body, seal)", "need(both/test [] body, tag)"],
        ),
        case(
            "a reading of two conditions out of range contradicts nothing: nobody knows which it is",
            VALVE,
            &reading("valve: shut, cover: shut"),
            &["need(both/test [] body, tag)"],
        ),
        case(
            "asked on, it is what no answer of yes or no would contradict: the item needs again what it needs",
            "\
conditions:
  tank: { values: [empty, rinse, product], ask: { empty: Is it empty?, rinse: Is it rinse?, product: Is it product? } }
  cover: { values: [shut, open], ask: Is the cover shut? }
  tag: { values: [absent, hung], ask: Is there no tag? }
  seal: { values: [whole, broken], keeps: true, lost_when: { tank: product } }
",
            "requires: { tank: empty, seal: whole, tag: absent }
steps:
  - id: both
    any_order:
      - id: drain
        do: Drain the tank and tag it.
        requires: { seal: whole }
        leaves: { tank: [empty, rinse], tag: hung }
      - id: test
        requires: { tag: hung }
        otherwise: stop
        repeat:
          until: { cover: shut }
          at_most: 1
          steps:
            - { id: look, confirm: { tank: empty }, otherwise: go }
            - { id: go, do: Go on. }",
            &["need(both/drain [] body, seal)", "need(both/test [] body, tag)"],
        ),
    ]
}

fn not_again() -> Vec<Case> {
    let looks = "\
{ id: test, otherwise: stop, repeat: { until: { tag: hung }, at_most: 1, steps: [
          { id: look, confirm: { valve: shut }, otherwise: go },
          { id: go, do: Hang the tag., leaves: { tag: hung } }
        ] } }";
    vec![
        asked(
            "what two items write is the own of neither",
            &group(&[CLOSE, "{ id: also, do: Shut the valve., leaves: { valve: shut } }", TEST]),
            &["promise(valve)"],
        ),
        asked(
            "what another item disturbs is its own no more",
            &group(&[
                CLOSE,
                "{ id: knock, confirm: { tag: absent }, disturbs: [valve], otherwise: stop }",
                TEST,
            ]),
            &["promise(valve)"],
        ),
        case(
            "nobody can tell: no item is offered again",
            VALVE,
            &group(&[CLOSE, looks]),
            &["promise(valve)"],
        ),
        with_inner(
            "evidence that is lost is not contradicted",
            &VALVE.replace("lost_when: { valve: open }", "lost_when: { cover: open }"),
            &format!(
                "requires: {{ cover: shut }}\nleaves: {{ seal: whole }}\n{}",
                group_of(&["{ id: make, do: Look over the seal., leaves: { seal: whole } }", TEST])
            ),
            Some(&ASK.replace("valve: shut", "cover: shut").replace("valve: open", "cover: open")),
            &["promise(seal)"],
        ),
        asked(
            "an item that is for other variants is passed over again",
            &group(&[
                "{ id: close, only: { hose: short }, do: Shut the valve., leaves: { valve: shut } }",
                TEST,
            ])
            .replace(
                "leaves: { valve: shut }\nsteps",
                "requires: { valve: shut }\nleaves: { valve: shut }\nsteps",
            ),
            &["promise(valve)"],
        ),
        case(
            "a look that leads out of the group offers nothing again",
            VALVE,
            &format!(
                "{}  - {{ id: use, do: Work., requires: {{ valve: shut }} }}\n",
                group_of(&[CLOSE, "{ id: test, confirm: { valve: shut }, otherwise: use }"])
            ),
            &["need(use [] body, valve)"],
        ),
    ]
}

fn once() -> Vec<Case> {
    let rounds = "\
leaves: { valve: shut }
steps:
  - id: rounds
    otherwise: stop
    repeat:
      until: { tag: hung }
      at_most: 2
      steps:
        - id: both
          any_order:
            - { id: close, do: Shut the valve., leaves: { valve: shut } }
            - { id: test, perform: inner }";
    vec![
        asked(
            "a second contradiction offers nothing again",
            &group(&[CLOSE, TEST, "{ id: retest, perform: inner }"]),
            &["promise(valve)"],
        ),
        asked("each time that the group is entered an item may be offered again", rounds, &[]),
    ]
}

fn beside() -> Vec<Case> {
    let running = format!(
        "{VALVE}  pump: {{ values: [off, on], ask: Is the pump off? }}
never:
  flood: {{ when: {{ valve: open, pump: on }}, hazard: harm }}
"
    );
    let found = |more: &[&str]| {
        format!("requires: {{ pump: on, valve: shut }}\n{}", group_of(&[&[CLOSE, TEST], more].concat()))
    };
    vec![
        with_inner(
            "found broken by what contradicts an item: the item ends it",
            &running,
            &found(&[]),
            Some(ASK),
            &[],
        ),
        with_inner(
            "found broken by what contradicts an item, and another item may come next",
            &running,
            &found(&["{ id: hang, do: Hang the tag., leaves: { tag: hung } }"]),
            Some(ASK),
            &["unmended(both/hang [] body)"],
        ),
        asked(
            "while an item may be offered again what it needs has to be known again",
            &format!(
                "requires: {{ permit: given, tag: absent }}\n{}",
                group_of(&[
                    "{ id: close, do: Shut the valve and tag it., requires: { permit: given }, leaves: { valve: shut, tag: hung } }",
                    "{ id: test, perform: inner, requires: { tag: hung } }"
                ])
            ),
            &[
                "need(both/test [] body, tag)",
                "resume(both [] choose, permit)",
                "resume(both/close [] body, permit)",
                "resume(both/close [] in act 1, permit)",
                "resume(both/test/look [] body, permit)",
            ],
        ),
    ]
}
