//! What does not last: a charge that is gone comes back while what feeds it is on, and time may yet bring about what ends
//! evidence.

use super::case::{Case, case};

/// A charge that a lamp shows, that goes while the mains are off and comes back with them.
const LAMP: &str = "\
conditions:
  mains: { values: [off, on], ask: Is the switch at 0? }
  charge:
    values: [present, gone]
    ask: Is the lamp dark?
    settles: { from: present, to: gone, after: 45 s, while: { mains: off } }
    lost_when: { mains: on }
";

/// The same charge, that nobody sees.
const HIDDEN: &str = "\
conditions:
  mains: { values: [off, on], ask: Is the switch at 0? }
  charge:
    values: [present, gone]
    settles: { from: present, to: gone, after: 45 s, while: { mains: off } }
    lost_when: { mains: on }
";

/// A charge that goes through a switch and that comes back from elsewhere.
const ELSEWHERE: &str = "\
conditions:
  drain: { values: [open, shut], ask: Is the drain open? }
  mains: { values: [off, on], ask: Is the switch at 0? }
  charge:
    values: [present, gone]
    settles: { from: present, to: gone, after: 45 s, while: { drain: open } }
    lost_when: { mains: on }
";

/// A charge that is lost whenever its switch is moved, whereto ever: nothing sustains that.
const MOVED: &str = "\
conditions:
  mains: { values: [off, on], ask: Is the switch at 0? }
  charge:
    values: [present, gone]
    ask: Is the lamp dark?
    settles: { from: present, to: gone, after: 45 s, while: { mains: off } }
    lost_when: { mains: [off, on] }
";

/// A test that the end of a pressure ends, with a valve that has to be open for that in one of the two.
const PRESSURE: &str = "\
conditions:
  pressure: { values: [high, low], ask: Is it high?, settles: { from: high, to: low, after: 30 s, while: none } }
  valve: { values: [shut, open], ask: Is the valve shut? }
  test: { values: [current, spoilt], keeps: true, lost_when: { pressure: low } }
  trial: { values: [current, spoilt], keeps: true, lost_when: { valve: open, pressure: low } }
";

pub(super) fn cases() -> Vec<Case> {
    [looks(), acts(), waits(), starts(), evidence(), again(), plans()].into_iter().flatten().collect()
}

/// What a procedure says before its steps, the steps, and an act that needs the charge gone.
fn then_used(before: &str, steps: &str) -> String {
    format!("{before}\nsteps:\n{steps}\n  - {{ id: use, do: Work., requires: {{ charge: gone }} }}")
}

fn looks() -> Vec<Case> {
    const TICK: &str = "  - { id: look, confirm: { charge: gone }, otherwise: stop }";
    const READ: &str = "  - id: look
    measure: { what: the voltage, instrument: gauge, at_most: 1 V, shows: { charge: gone } }
    otherwise: stop";
    const ANSWER: &str = "  - id: look
    ask: Is the lamp dark?
    answers: { yes: { shows: { charge: gone }, then: use }, no: { shows: { charge: present }, then: stop } }";
    const UNTIL: &str = "  - { id: look, wait: { until: { charge: gone }, limit: 60 s }, otherwise: stop }";
    const ROUNDS: &str = "  - id: look
    repeat: { until: { charge: gone }, at_most: 2, steps: [{ id: tap, do: Tap the lamp. }] }
    otherwise: stop";
    let both = |shows: &str| {
        then_used(
            "",
            &format!(
                "  - id: look
    ask: What is it?
    answers: {{ dead: {{ shows: {{ {shows} }}, then: use }}, else: {{ shows: {{ mains: on }}, then: stop }}, \
                 lit: {{ shows: {{ mains: off }}, then: stop }} }}"
            ),
        )
    };
    let lost = &["need(use [] body, charge)"];
    let of = |name, before, look| case(name, LAMP, &then_used(before, look), lost);
    let isolated = |name, look| case(name, LAMP, &then_used("requires: { mains: off }", look), &[]);
    vec![
        of("a tick that a charge is gone while what feeds it is on", "requires: { mains: on }", TICK),
        of("a tick that a charge is gone while what feeds it may be on", "", TICK),
        of("a reading that a charge is gone while what feeds it is on", "requires: { mains: on }", READ),
        of("a reading that a charge is gone while what feeds it may be on", "", READ),
        of("an answer that a charge is gone while what feeds it is on", "requires: { mains: on }", ANSWER),
        of("an answer that a charge is gone while what feeds it may be on", "", ANSWER),
        of("a wait until a charge is gone while what feeds it may be on", "", UNTIL),
        of("rounds until a charge is gone while what feeds it may be on", "", ROUNDS),
        isolated("a tick that a charge is gone while what feeds it is off", TICK),
        isolated("a reading that a charge is gone while what feeds it is off", READ),
        isolated("an answer that a charge is gone while what feeds it is off", ANSWER),
        isolated("a wait until a charge is gone while what feeds it is off", UNTIL),
        isolated("rounds until a charge is gone while what feeds it is off", ROUNDS),
        case(
            "a tick that what feeds a charge is off, then one that the charge is gone",
            LAMP,
            &then_used("", &format!("  - {{ id: off, confirm: {{ mains: off }}, otherwise: stop }}\n{TICK}")),
            &[],
        ),
        case("a tick that a charge is gone that a move alone brings back", MOVED, &then_used("", TICK), &[]),
        case(
            "a charge that a move brings back is waited for after the move",
            MOVED,
            &then_used(
                "",
                "  - { id: off, do: Switch off., leaves: { mains: off } }\n  - { id: wait, wait: { for: 45 s } }",
            ),
            &[],
        ),
        case(
            "a charge that a move brings back is gone before the move",
            MOVED,
            &then_used("", &format!("{TICK}\n  - {{ id: off, do: Switch off., leaves: {{ mains: off }} }}")),
            lost,
        ),
        case(
            "one look of two ticks: what feeds a charge is off, the charge is gone",
            LAMP,
            &then_used("", "  - { id: look, confirm: { mains: off, charge: gone }, otherwise: stop }"),
            &[],
        ),
        case(
            "one look of two ticks: a charge is gone, what feeds it is off",
            LAMP,
            &then_used("", "  - { id: look, confirm: { charge: gone, mains: off }, otherwise: stop }"),
            lost,
        ),
        case(
            "one answer: what feeds a charge is off, the charge is gone",
            LAMP,
            &both("mains: off, charge: gone"),
            &[],
        ),
        case(
            "one answer: a charge is gone, what feeds it is off",
            LAMP,
            &both("charge: gone, mains: off"),
            lost,
        ),
    ]
}

fn acts() -> Vec<Case> {
    const STICK: &str = "  - { id: short, do: Hold the stick to it., leaves: { charge: gone } }";
    let lost = &["need(use [] body, charge)"];
    let one_act =
        |leaves: &str| then_used("", &format!("  - {{ id: both, do: Act., leaves: {{ {leaves} }} }}"));
    vec![
        case(
            "an act takes a charge away while what feeds it is on",
            HIDDEN,
            &then_used("requires: { mains: on }", STICK),
            lost,
        ),
        case("an act takes a charge away while what feeds it may be on", HIDDEN, &then_used("", STICK), lost),
        case(
            "an act takes a charge away while what feeds it is off",
            HIDDEN,
            &then_used("requires: { mains: off }", STICK),
            &[],
        ),
        case(
            "one act switches off what feeds a charge and takes the charge away",
            HIDDEN,
            &one_act("mains: off, charge: gone"),
            &[],
        ),
        case(
            "one act takes a charge away and switches off what feeds it",
            HIDDEN,
            &one_act("charge: gone, mains: off"),
            lost,
        ),
    ]
}

fn waits() -> Vec<Case> {
    const WAIT: &str = "  - { id: wait, wait: { for: 45 s } }";
    /// A line that clears by itself and that the end of a pressure fouls.
    const LINE: &str = "\
conditions:
  pressure: { values: [high, low], seen_by: nobody, settles: { from: high, to: low, after: 30 s, while: none } }
  charge:
    values: [filled, gone]
    settles: { from: filled, to: gone, after: 10 s, while: none }
    lost_when: { pressure: low }
";
    let lost = &["need(use [] body, charge)"];
    let waited = |times: &str| then_used("", times);
    vec![
        case(
            "a wait for a charge that something may feed meanwhile",
            ELSEWHERE,
            &then_used("requires: { drain: open }", WAIT),
            lost,
        ),
        case(
            "a wait for a charge that nothing can feed meanwhile",
            ELSEWHERE,
            &then_used("requires: { drain: open, mains: off }", WAIT),
            &[],
        ),
        case(
            "a wait for a charge before it is looked at what feeds it",
            ELSEWHERE,
            &then_used(
                "requires: { drain: open }",
                &format!("{WAIT}\n  - {{ id: off, confirm: {{ mains: off }}, otherwise: stop }}"),
            ),
            lost,
        ),
        case(
            "time may yet bring about what ends what has settled",
            LINE,
            &waited("  - { id: wait, wait: { for: 10 s } }"),
            lost,
        ),
        case(
            "what ends what settles may come about in the middle of one wait",
            LINE,
            &waited("  - { id: wait, wait: { for: 30 s } }"),
            lost,
        ),
        case(
            "after what ends it has come about, what settles is waited for",
            LINE,
            &waited("  - { id: wait, wait: { for: 30 s } }\n  - { id: again, wait: { for: 10 s } }"),
            &[],
        ),
    ]
}

fn starts() -> Vec<Case> {
    let used = |requires: &str| {
        format!(
            "requires: {{ {requires} }}
steps: [{{ id: use, do: Work., requires: {{ charge: gone }} }}]"
        )
    };
    let normally_off =
        LAMP.replace("mains: { values: [off, on],", "mains: { values: [off, on], normal: off,");
    let lost = &["need(use [] body, charge)"];
    vec![
        case(
            "a start asserts that a charge is gone, and nothing of what feeds it",
            LAMP,
            &used("charge: gone"),
            lost,
        ),
        case(
            "a start asserts that a charge is gone, and that what feeds it is on",
            LAMP,
            &used("charge: gone, mains: on"),
            lost,
        ),
        case(
            "a start asserts that a charge is gone, and that what feeds it is off",
            LAMP,
            &used("mains: off, charge: gone"),
            &[],
        ),
        case(
            "who relies on a charge relies on what feeds it: it is asserted to be off as normal",
            &normally_off,
            &used("charge: gone"),
            &[],
        ),
        case(
            "a look at a charge relies on what feeds it: it is asserted to be off as normal",
            &normally_off,
            &then_used("", "  - { id: look, confirm: { charge: gone }, otherwise: stop }"),
            &[],
        ),
        case(
            "what is asserted and does not last ends the evidence that hangs on it",
            &format!(
                "{LAMP}  proof: {{ values: [current, spoilt], keeps: true, lost_when: {{ charge: present }} }}\n"
            ),
            "requires: { charge: gone, proof: current }
steps: [{ id: use, do: Work., requires: { proof: current } }]",
            &["need(use [] body, proof)"],
        ),
        case(
            "a rule that what is asserted breaks is broken, though it does not last",
            &format!("{LAMP}never: {{ dark: {{ when: {{ charge: gone, mains: on }}, hazard: harm }} }}\n"),
            "requires: { charge: gone, mains: on }
steps: [{ id: act, do: Act. }]",
            &["rule(dark, start)"],
        ),
    ]
}

fn evidence() -> Vec<Case> {
    let made = |requires: &str, steps: &str, what: &str| {
        format!(
            "requires: {{ {requires} }}
steps:
{steps}  - {{ id: make, do: Test it., leaves: {{ {what}: current }} }}
  - {{ id: use, do: Work., requires: {{ {what}: current }} }}"
        )
    };
    let fed = format!(
        "{LAMP}  proof: {{ values: [current, spoilt], keeps: true, lost_when: {{ charge: present }} }}\n"
    );
    let chain = format!(
        "{PRESSURE}  chain: {{ values: [current, spoilt], keeps: true, lost_when: {{ test: spoilt }} }}\n"
    );
    let gasket = "\
conditions:
  cover: { values: [shut, open], ask: Is the cover shut? }
  gasket: { values: [inspected, uninspected], keeps: true, lost_when: { cover: open } }
";
    vec![
        case(
            "evidence made while what settles may yet fall into its cause",
            PRESSURE,
            &made("pressure: high", "", "test"),
            &["need(use [] body, test)"],
        ),
        case(
            "evidence made while nothing is known of what may fall into its cause",
            PRESSURE,
            &made("", "", "test"),
            &["need(use [] body, test)"],
        ),
        case(
            "evidence made after what settles was seen to have fallen: the cause is over",
            PRESSURE,
            &made("pressure: low", "", "test"),
            &[],
        ),
        case(
            "evidence made after what settles was waited for: the cause is over",
            PRESSURE,
            &made("", "  - { id: wait, wait: { for: 30 s } }\n", "test"),
            &[],
        ),
        case(
            "evidence made while what may fall cannot end it: another part of the cause cannot hold",
            PRESSURE,
            &made("valve: shut", "", "trial"),
            &[],
        ),
        case(
            "evidence made while what may fall ends it: the other part of the cause may hold",
            PRESSURE,
            &made("", "", "trial"),
            &["need(use [] body, trial)"],
        ),
        case(
            "a gasket inspected while the cover is open stays inspected",
            gasket,
            "requires: { cover: open }
steps:
  - { id: make, do: Look over the gasket., leaves: { gasket: inspected } }
  - { id: use, do: Work., requires: { gasket: inspected } }",
            &[],
        ),
        case(
            "evidence made while a charge that ends it may be fed",
            &fed,
            &made("mains: on", "", "proof"),
            &["need(use [] body, proof)"],
        ),
        case(
            "evidence made while a charge that ends it is present, and nothing feeds it",
            &fed,
            &made("mains: off", "", "proof"),
            &[],
        ),
        case(
            "of a charge that was filled nothing is known, as of one that may fall: no look at it is the first since it was opened",
            &fed,
            "requires: { mains: on }
steps:
  - { id: fill, do: Charge it., leaves: { charge: present } }
  - { id: off, do: Switch off., leaves: { mains: off } }
  - { id: make, do: Test it., leaves: { proof: current } }
  - id: look
    ask: Is the lamp dark?
    answers: { yes: { shows: { charge: gone }, then: use }, no: { shows: { charge: present }, then: use } }
  - { id: use, do: Work., requires: { proof: current } }",
            &[],
        ),
        case(
            "evidence made while other evidence that ends it may yet be lost",
            &chain,
            &made("", "", "chain"),
            &["need(use [] body, chain)"],
        ),
        case(
            "evidence made while other evidence that ends it was lost",
            &chain,
            &made("", "  - { id: wait, wait: { for: 30 s } }\n", "chain"),
            &[],
        ),
    ]
}

fn again() -> Vec<Case> {
    let unseen = ELSEWHERE
        .replace("mains: { values: [off, on], ask: Is the switch at 0? }", "mains: { values: [off, on] }");
    let keeps = ELSEWHERE.replace(
        "mains: { values: [off, on], ask: Is the switch at 0? }",
        "mains: { values: [off, on], keeps: true }",
    );
    let waited = then_used("requires: { drain: open, mains: off }", "  - { id: wait, wait: { for: 45 s } }");
    vec![
        case(
            "what feeds a charge and nobody is asked about is not known again",
            &unseen,
            &waited,
            &["resume(use [] body, mains)", "resume(wait [] body, mains)"],
        ),
        case("what feeds a charge and keeps is known again", &keeps, &waited, &[]),
        case(
            "a wait for a charge relies on what feeds it, before the charge is disturbed too",
            &unseen,
            &then_used(
                "requires: { drain: open, mains: off }",
                "  - { id: knock, do: Knock at it., disturbs: [charge] }\n  - { id: wait, wait: { for: 45 s } }",
            ),
            &["resume(knock [] body, mains)", "resume(use [] body, mains)", "resume(wait [] body, mains)"],
        ),
        case(
            "what a look at a charge relies on is not known again",
            &LAMP.replace(
                "mains: { values: [off, on], ask: Is the switch at 0? }",
                "mains: { values: [off, on] }",
            ),
            "requires: { mains: off }
steps: [{ id: look, confirm: { charge: gone }, otherwise: stop }]",
            &["resume(look [] body, mains)"],
        ),
    ]
}

fn plans() -> Vec<Case> {
    let rest = format!("{LAMP}safe_state: {{ charge: gone }}\n");
    let off = format!(
        "{rest}actions: {{ off: {{ do: Switch off., restores: true, leaves: {{ mains: off }} }} }}\n"
    );
    vec![
        case(
            "no plan ends with a look that does not last",
            &rest,
            "steps: [{ id: act, do: Act. }]",
            &["stop(act [] body)", "stop(done)", "universal"],
        ),
        case(
            "a plan switches off what feeds a charge, then looks or waits",
            &off,
            "steps: [{ id: act, do: Act. }]",
            &[],
        ),
    ]
}
