//! Looks: both sides, surprises, ticks, answers, readings.

use super::case::{Case, case};
use super::rigs::{CHARGE, PLUG, PRESSURE, TANK};

/// Evidence that opening the cover ends, all of it to be looked at but the evidence.
const GASKET: &str = "\
conditions:
  cover: { values: [shut, open], ask: Is the cover shut? }
  gasket: { values: [inspected, uninspected], lost_when: { cover: open } }
";

/// The same evidence, kept over an interruption.
const KEPT: &str = "\
conditions:
  cover: { values: [shut, open], ask: Is the cover shut? }
  gasket: { values: [inspected, uninspected], keeps: true, lost_when: { cover: open } }
";

/// Evidence that hangs on other evidence.
const CHAIN: &str = "\
conditions:
  cover: { values: [shut, open], ask: Is the cover shut? }
  gasket: { values: [inspected, uninspected], ask: Is it well?, lost_when: { cover: open } }
  test: { values: [current, spoilt], keeps: true, lost_when: { gasket: uninspected } }
";

pub(super) fn cases() -> Vec<Case> {
    [both_sides(), surprises(), answers(), readings()].into_iter().flatten().collect()
}

fn both_sides() -> Vec<Case> {
    vec![
        case(
            "a look that contradicts the act before it is followed: the guard comes off under voltage",
            PLUG,
            "requires: { guard: shut }
steps:
  - { id: pull, do: Pull the plug., leaves: { mains: off } }
  - { id: look, confirm: { mains: off }, otherwise: bare }
  - { id: end, do: Go., then: done }
  - { id: bare, do: Take the guard off., leaves: { guard: open } }",
            &["rule(naked, bare [] body)"],
        ),
        case(
            "a look that contradicts the act before it is followed: it is put right and looked at again",
            PLUG,
            "requires: { guard: shut }
steps:
  - { id: pull, do: Pull the plug., leaves: { mains: off } }
  - { id: look, confirm: { mains: off }, otherwise: again }
  - { id: bare, do: Take the guard off., leaves: { guard: open }, then: done }
  - { id: again, do: Pull the plug., leaves: { mains: off } }
  - { id: relook, confirm: { mains: off }, otherwise: stop, then: bare }",
            &[],
        ),
        case(
            "an act, a look, and otherwise a tag",
            PLUG,
            "requires: { guard: shut }
steps:
  - { id: pull, do: Pull the plug., leaves: { mains: off } }
  - { id: look, confirm: { mains: off }, otherwise: tag }
  - { id: bare, do: Take the guard off., leaves: { guard: open }, then: done }
  - { id: tag, do: Hang the tag., leaves: { tag: hung }, then: stop }",
            &[],
        ),
        case(
            "what a look before a way relies on stays known on the side of no",
            PLUG,
            "requires: { guard: shut }
steps:
  - { id: look, confirm: { tag: absent }, otherwise: bare }
  - { id: end, do: Go., then: done }
  - { id: bare, do: Take the guard off., requires: { guard: shut }, leaves: { tag: absent } }",
            &[],
        ),
        case(
            "nobody can tell: the way of no knows nothing",
            PLUG,
            "requires: { mains: off }
steps:
  - { id: look, confirm: { mains: off }, otherwise: use }
  - { id: use, do: Work., requires: { mains: off } }",
            &["need(use [] body, mains)"],
        ),
        case(
            "all values are asked for: there is no no, but nobody may be able to tell",
            PLUG,
            "requires: { mains: off }
steps:
  - { id: look, confirm: { mains: [off, plugged] }, otherwise: bad }
  - { id: use, do: Work., requires: { mains: off }, then: done }
  - { id: bad, do: Work., requires: { mains: off } }",
            &["need(bad [] body, mains)"],
        ),
    ]
}

fn surprises() -> Vec<Case> {
    vec![
        case(
            "a surprise ends the evidence that hangs on it",
            GASKET,
            "requires: { cover: shut }
steps:
  - { id: make, do: Look over the gasket., leaves: { gasket: inspected } }
  - id: look
    ask: Is the cover shut?
    answers: { yes: { shows: { cover: shut }, then: use }, no: { shows: { cover: open }, then: shut } }
  - { id: shut, do: Shut the cover., leaves: { cover: shut } }
  - { id: use, do: Work., requires: { gasket: inspected } }",
            &["need(use [] body, gasket)"],
        ),
        case(
            "a surprise ends the evidence, and it is made again",
            GASKET,
            "requires: { cover: shut }
steps:
  - { id: make, do: Look over the gasket., leaves: { gasket: inspected } }
  - id: look
    ask: Is the cover shut?
    answers: { yes: { shows: { cover: shut }, then: use }, no: { shows: { cover: open }, then: shut } }
  - { id: shut, do: Shut the cover., leaves: { cover: shut } }
  - { id: remake, do: Look over the gasket., leaves: { gasket: inspected } }
  - { id: use, do: Work., requires: { gasket: inspected } }",
            &[],
        ),
        case(
            "two paths meet at a look: on the one that knows more the answer is a surprise",
            KEPT,
            "steps:
  - { id: make, do: Look over the gasket., leaves: { gasket: inspected } }
  - { id: which, ask: Which?, answers: { shut: shut, leave: look } }
  - { id: shut, do: Shut the cover., leaves: { cover: shut } }
  - id: look
    ask: Is the cover shut?
    answers: { yes: { shows: { cover: shut }, then: use }, no: { shows: { cover: open }, then: use } }
  - { id: use, do: Work., requires: { gasket: inspected } }",
            &["need(use [] body, gasket)"],
        ),
        case(
            "no path that comes to a look knows more: the answer is none",
            KEPT,
            "steps:
  - { id: make, do: Look over the gasket., leaves: { gasket: inspected } }
  - id: look
    ask: Is the cover shut?
    answers: { yes: { shows: { cover: shut }, then: use }, no: { shows: { cover: open }, then: use } }
  - { id: use, do: Work., requires: { gasket: inspected } }",
            &[],
        ),
        case(
            "the first look since it was opened ends the evidence that hangs on what it finds",
            KEPT,
            "requires: { cover: shut }
steps:
  - { id: knock, do: Knock at the cover., disturbs: [cover] }
  - { id: make, do: Look over the gasket., leaves: { gasket: inspected } }
  - id: look
    ask: Is the cover shut?
    answers: { yes: { shows: { cover: shut }, then: use }, no: { shows: { cover: open }, then: use } }
  - { id: use, do: Work., requires: { gasket: inspected } }",
            &["need(use [] body, gasket)"],
        ),
        case(
            "what a verifier saw counts as looked at",
            KEPT,
            "requires: { cover: shut }
steps:
  - { id: knock, do: Knock at the cover., disturbs: [cover], verified_by: technician }
  - { id: make, do: Look over the gasket., leaves: { gasket: inspected } }
  - id: look
    ask: Is the cover shut?
    answers: { yes: { shows: { cover: shut }, then: use }, no: { shows: { cover: open }, then: use } }
  - { id: use, do: Work., requires: { gasket: inspected } }",
            &[],
        ),
        case(
            "written since it was opened: a look that agrees ends nothing",
            KEPT,
            "requires: { cover: shut }
steps:
  - { id: knock, do: Knock at the cover., disturbs: [cover] }
  - { id: open, do: Open the cover., leaves: { cover: open } }
  - { id: make, do: Look over the gasket., leaves: { gasket: inspected } }
  - id: look
    ask: Is the cover open?
    answers: { yes: { shows: { cover: open }, then: use }, no: { shows: { cover: shut }, then: use } }
  - { id: use, do: Work., requires: { gasket: inspected } }",
            &[],
        ),
        case(
            "evidence whose cause may hold is lost, though a look then denies it",
            KEPT,
            "requires: { cover: shut }
steps:
  - { id: make, do: Look over the gasket., leaves: { gasket: inspected } }
  - { id: knock, do: Knock at the cover., disturbs: [cover] }
  - { id: look, confirm: { cover: shut }, otherwise: stop }
  - { id: use, do: Work., requires: { gasket: inspected } }",
            &["need(use [] body, gasket)"],
        ),
        case(
            "evidence that was lost counts as opened: the first look at it ends what hangs on it",
            CHAIN,
            "requires: { cover: shut }
steps:
  - { id: open, do: Open the cover., leaves: { cover: open } }
  - { id: make, do: Test the pump., leaves: { test: current } }
  - id: look
    ask: Is the gasket well?
    answers: { yes: { shows: { gasket: inspected }, then: use }, no: { shows: { gasket: uninspected }, then: use } }
  - { id: use, do: Work., requires: { test: current } }",
            &["need(use [] body, test)"],
        ),
        case(
            "what may give way is never surely as it was",
            PRESSURE,
            "steps:
  - { id: pump, do: Pump., leaves: { pressure: high } }
  - { id: use, do: Work., requires: { pressure: high } }",
            &["need(use [] body, pressure)"],
        ),
        case(
            "a surprise begins the clock anew",
            CHARGE,
            "requires: { guard: shut }
steps:
  - { id: off, do: Switch off., leaves: { mains: off } }
  - { id: first, wait: { for: 20 s } }
  - id: look
    ask: Is it off?
    answers: { yes: { shows: { mains: off }, then: second }, no: { shows: { mains: on }, then: again } }
  - { id: again, do: Switch off., leaves: { mains: off } }
  - { id: second, wait: { for: 25 s } }
  - { id: open, do: Open the guard., leaves: { guard: open } }",
            &["rule(charged, open [] body)"],
        ),
        case(
            "after a surprise the whole time is waited",
            CHARGE,
            "requires: { guard: shut }
steps:
  - { id: off, do: Switch off., leaves: { mains: off } }
  - { id: first, wait: { for: 20 s } }
  - id: look
    ask: Is it off?
    answers: { yes: { shows: { mains: off }, then: second }, no: { shows: { mains: on }, then: again } }
  - { id: again, do: Switch off., leaves: { mains: off } }
  - { id: longer, wait: { for: 45 s }, then: open }
  - { id: second, wait: { for: 25 s } }
  - { id: open, do: Open the guard., leaves: { guard: open } }",
            &[],
        ),
        case(
            "what settles and can be seen is proved by the wait",
            PRESSURE,
            "steps:
  - { id: vent, do: Open the valve., leaves: { valve: open } }
  - { id: wait, wait: { for: 30 s } }
  - { id: use, do: Work., requires: { pressure: relieved } }",
            &[],
        ),
        case(
            "once a look contradicted the wait only a look counts",
            PRESSURE,
            "steps:
  - { id: vent, do: Open the valve., leaves: { valve: open } }
  - { id: wait, wait: { for: 30 s } }
  - id: look
    ask: What is it?
    answers: { none: { shows: { pressure: relieved }, then: use }, some: { shows: { pressure: high }, then: longer } }
  - { id: longer, wait: { for: 30 s } }
  - { id: use, do: Work., requires: { pressure: relieved } }",
            &["need(use [] body, pressure)"],
        ),
        case(
            "once a look contradicted the wait another look is the way",
            PRESSURE,
            "steps:
  - { id: vent, do: Open the valve., leaves: { valve: open } }
  - { id: wait, wait: { for: 30 s } }
  - id: look
    ask: What is it?
    answers: { none: { shows: { pressure: relieved }, then: use }, some: { shows: { pressure: high }, then: longer } }
  - { id: longer, wait: { for: 30 s } }
  - { id: relook, confirm: { pressure: relieved }, otherwise: stop }
  - { id: use, do: Work., requires: { pressure: relieved } }",
            &[],
        ),
        case(
            "once a reading contradicted the wait only a look counts",
            PRESSURE,
            "steps:
  - { id: vent, do: Open the valve., leaves: { valve: open } }
  - { id: wait, wait: { for: 30 s } }
  - id: read
    measure: { what: the pressure, instrument: gauge, at_most: 1 V, shows: { pressure: relieved } }
    otherwise: longer
    then: use
  - { id: longer, wait: { for: 30 s } }
  - { id: use, do: Work., requires: { pressure: relieved } }",
            &["need(use [] body, pressure)"],
        ),
        case(
            "a reading of what was not known leaves the wait counting",
            PRESSURE,
            "steps:
  - { id: vent, do: Open the valve., leaves: { valve: open } }
  - id: read
    measure: { what: the pressure, instrument: gauge, at_most: 1 V, shows: { pressure: relieved } }
    otherwise: longer
    then: use
  - { id: longer, wait: { for: 30 s } }
  - { id: use, do: Work., requires: { pressure: relieved } }",
            &[],
        ),
        case(
            "the first look since it was opened is no surprise: the wait counts again",
            PRESSURE,
            "steps:
  - { id: vent, do: Open the valve., leaves: { valve: open } }
  - { id: wait, wait: { for: 30 s } }
  - { id: knock, do: Knock at it., disturbs: [pressure] }
  - id: look
    ask: What is it?
    answers: { none: { shows: { pressure: relieved }, then: use }, some: { shows: { pressure: high }, then: longer } }
  - { id: longer, wait: { for: 30 s } }
  - { id: use, do: Work., requires: { pressure: relieved } }",
            &[],
        ),
    ]
}

fn answers() -> Vec<Case> {
    vec![
        case(
            "an answer shows the plug in: the guard comes off under voltage",
            PLUG,
            "requires: { guard: shut }
steps:
  - { id: pull, do: Pull the plug., leaves: { mains: off } }
  - id: look
    ask: Is the plug out?
    answers: { yes: { shows: { mains: off }, then: end }, no: { shows: { mains: plugged }, then: bare } }
  - { id: end, do: Go., then: done }
  - { id: bare, do: Take the guard off., leaves: { guard: open } }",
            &["rule(naked, bare [] body)"],
        ),
        case(
            "an answer without `shows` says nothing",
            PLUG,
            "steps:
  - { id: look, ask: Is the plug out?, answers: { yes: use, no: stop } }
  - { id: use, do: Work., requires: { mains: off } }",
            &["need(use [] body, mains)"],
        ),
        case(
            "an answer leaves what the record and the answer have in common",
            TANK,
            "requires: { tank: [empty, rinse] }
steps:
  - id: look
    ask: What is in it?
    answers: { clean: { shows: { tank: [rinse, product] }, then: use }, else: { shows: { tank: empty }, then: stop } }
  - { id: use, do: Work., requires: { tank: rinse } }",
            &[],
        ),
        case(
            "where nothing is in common the condition has any value that the answer leaves",
            TANK,
            "requires: { tank: empty }
steps:
  - id: look
    ask: What is in it?
    answers: { some: { shows: { tank: [rinse, product] }, then: use }, none: { shows: { tank: empty }, then: stop } }
  - { id: use, do: Work., requires: { tank: rinse } }",
            &["need(use [] body, tank)"],
        ),
        case(
            "a value that no answer covers",
            TANK,
            "steps:
  - id: look
    ask: What is in it?
    answers: { none: { shows: { tank: empty }, then: done }, rinse: { shows: { tank: rinse }, then: done } }",
            &["unanswered(look [] body)"],
        ),
        case(
            "a value that no answer covers, and that the record rules out",
            TANK,
            "requires: { tank: [empty, rinse] }
steps:
  - id: look
    ask: What is in it?
    answers: { none: { shows: { tank: empty }, then: done }, rinse: { shows: { tank: rinse }, then: done } }",
            &[],
        ),
        case(
            "what a look leaves is so after every answer",
            TANK,
            "steps:
  - { id: look, ask: Is it well?, leaves: { cover: shut }, answers: { yes: use, no: use } }
  - { id: use, do: Work., requires: { cover: shut } }",
            &[],
        ),
    ]
}

/// A level that only an instrument shows and that stays over an interruption.
const LEVEL: &str = "\
conditions:
  level: { values: [low, well, full], keeps: true }
  cover: { values: [shut, open], ask: Is the cover shut? }
";

fn readings() -> Vec<Case> {
    vec![
        case(
            "a further reading needs again what the first one disturbs",
            LEVEL,
            "requires: { cover: shut }
steps:
  - id: read
    requires: { cover: shut }
    measure: { what: the level, instrument: gauge, at_least: 1 V, shows: { level: well }, retests: 1 }
    disturbs: [cover]
    otherwise: stop",
            &["need(read [] attempt 2, cover)"],
        ),
        case(
            "a further reading needs again what the first one leaves alone",
            LEVEL,
            "requires: { cover: shut }
steps:
  - id: read
    requires: { cover: shut }
    measure: { what: the level, instrument: gauge, at_least: 1 V, shows: { level: well }, retests: 1 }
    otherwise: stop
  - { id: use, do: Work., requires: { level: well } }",
            &[],
        ),
        case(
            "a reading of several conditions that fails tells of none of them",
            PLUG,
            "requires: { guard: shut, mains: off }
steps:
  - id: read
    measure: { what: both, instrument: gauge, at_least: 1 V, shows: { tag: hung, mains: off } }
    otherwise: bare
  - { id: end, do: Go., then: done }
  - { id: bare, do: Take the guard off., leaves: { guard: open } }",
            &["rule(naked, bare [] body)"],
        ),
        case(
            "a reading that shows nothing changes nothing",
            LEVEL,
            "steps:
  - { id: read, measure: { what: the level, instrument: gauge, at_least: 1 V }, otherwise: stop }
  - { id: use, do: Work., requires: { level: well } }",
            &["need(use [] body, level)"],
        ),
        case(
            "a look disturbs after the answer",
            LEVEL,
            "steps:
  - { id: look, confirm: { cover: shut }, disturbs: [cover], otherwise: stop }
  - { id: use, do: Work., requires: { cover: shut } }",
            &["need(use [] body, cover)"],
        ),
        case(
            "what a look leaves and disturbs is open where it passes",
            LEVEL,
            "steps:
  - { id: look, confirm: { cover: shut }, leaves: { cover: shut }, disturbs: [cover], otherwise: stop }
  - { id: use, do: Work., requires: { cover: shut } }",
            &["need(use [] body, cover)"],
        ),
        case(
            "a wait until something is so finds it out, whatever was believed",
            PRESSURE,
            "requires: { pressure: high }
steps:
  - { id: wait, wait: { until: { pressure: relieved }, limit: 60 s }, otherwise: stop }
  - { id: use, do: Work., requires: { pressure: relieved } }",
            &[],
        ),
    ]
}
