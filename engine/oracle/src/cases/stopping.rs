//! Stopping: a plan from every record, and one from nothing known.

use super::case::{Case, case};
use super::rigs;

/// A switch and a guard; the machine is left off.
fn rig(more: &str) -> String {
    format!(
        "\
conditions:
  mains: {{ values: [off, on], ask: Is the switch at 0? }}
  guard: {{ values: [shut, open], ask: Is the guard shut? }}
{more}"
    )
}

const LEFT_OFF: &str = "\
safe_state: { mains: off }
actions: { switch-on: { do: Switch on., leaves: { mains: on } } }
";

const LEFT_OFF_BY_AN_ACT: &str = "\
safe_state: { mains: off }
actions:
  switch-on: { do: Switch on., leaves: { mains: on } }
  switch-off: { do: Switch off., leaves: { mains: off }, restores: true }
";

const UNDER_THE_GUARD: &str = "\
safe_state: { guard: shut }
actions:
  shut: { do: Shut the guard., requires: { mains: off }, leaves: { guard: shut }, restores: true }
";

const OFF_BEHIND_THE_GUARD: &str = "\
never: { naked: { when: { guard: open, mains: on }, hazard: harm } }
safe_state: { mains: off, guard: shut }
actions:
  open: { do: Open the guard., leaves: { guard: open }, restores: true }
  shut: { do: Shut the guard., leaves: { guard: shut }, restores: true }
  switch-off: { do: Switch off., requires: { guard: open }, leaves: { mains: off }, restores: true }
";

const FOUND: &str = "\
never: { naked: { when: { guard: open, mains: on }, hazard: harm } }
safe_state: { mains: off }
actions:
  switch-off: { do: Switch off., leaves: { mains: off }, restores: true }
";

const FOUND_OPEN: &str = "\
never: { naked: { when: { guard: open, mains: on }, hazard: harm } }
safe_state: { guard: open }
actions:
  open: { do: Open the guard., requires: { mains: off }, leaves: { guard: open }, restores: true }
";

const TWO_ACTS: &str = "\
never: { naked: { when: { guard: open, mains: on }, hazard: harm } }
safe_state: { mains: off }
actions:
  both: { do: Hold it and switch off., leaves: { guard: open, mains: off }, requires: { guard: open }, restores: true }
  pull: { do: Pull the plug., leaves: { mains: off }, requires: { guard: shut }, restores: true }
";

const HIDDEN_THEN_ON: &str = "\
conditions:
  mains: { values: [off, on], ask: Is the switch at 0? }
  charge: { values: [present, gone], settles: { from: present, to: gone, after: 45 s, while: { mains: off } } }
safe_state: { charge: gone }
";

const PRESSURE: &str = "\
conditions:
  pressure: { values: [relieved, high], ask: Does the gauge show 0? }
safe_state: { pressure: relieved }
";

const VENT: &str = "\
actions: { vent: { do: Open the vent., leaves: { pressure: relieved }, restores: true } }
";

const HIDDEN: &str = "\
conditions:
  mains: { values: [off, on], ask: Is the switch at 0? }
  charge: { values: [present, gone], settles: { from: present, to: gone, after: 45 s, while: { mains: off } } }
safe_state: { charge: gone }
";

/// The pressure that a valve lets go, and an act that opens the valve.
fn settling() -> String {
    format!(
        "{}safe_state: {{ pressure: relieved }}\nactions: {{ open: {{ do: Open the valve., leaves: {{ valve: open }}, \
         restores: true }} }}\n",
        rigs::PRESSURE
    )
}

/// A pump that has to run where the machine is left, and not with the door open unless somebody releases that.
const RELEASED: &str = "\
conditions:
  pump: { values: [off, on], ask: Is the pump off? }
  door: { values: [shut, open], ask: Is the door shut? }
never:
  reach: { when: { door: open, pump: on }, hazard: harm, released_by: technician }
safe_state: { pump: on }
actions: { start: { do: Start it., leaves: { pump: on }, restores: true }";

pub(super) fn cases() -> Vec<Case> {
    [ends(), plans(), stages()].into_iter().flatten().collect()
}

fn ends() -> Vec<Case> {
    let on_then_stop = "requires: { mains: off }\nsteps: [{ id: on, action: switch-on, then: stop }]";
    let reading = "requires: { pressure: relieved }
steps:
  - id: read
    measure: { what: the pressure, instrument: gauge, at_most: 1 V, shows: { pressure: relieved } }
    otherwise: stop";
    let verified = "requires: { guard: shut, mains: off }
steps: [{ id: on, do: Switch off., leaves: { mains: off }, verified_by: technician }]";
    vec![
        case(
            "switched on and stopped, and nothing switches off",
            &rig(LEFT_OFF),
            on_then_stop,
            &["stop(on [] body → stop)", "universal"],
        ),
        case("switched on and stopped, and an act switches off", &rig(LEFT_OFF_BY_AN_ACT), on_then_stop, &[]),
        case(
            "switched on and done, and nothing switches off",
            &rig(LEFT_OFF),
            "requires: { mains: off }\nsteps: [{ id: on, action: switch-on }]",
            &["stop(done)", "universal"],
        ),
        case(
            "a reading that fails leads to the stop, and nothing relieves",
            PRESSURE,
            reading,
            &["stop(read [] body → stop)", "universal"],
        ),
        case(
            "a reading that fails leads to the stop, and an act relieves",
            &format!("{PRESSURE}{VENT}"),
            reading,
            &[],
        ),
        case(
            "a verified act is denied, and nothing puts it right",
            &rig(LEFT_OFF),
            verified,
            &["stop(on [] verify → stop)", "universal"],
        ),
        case("a verified act is denied, and an act puts it right", &rig(LEFT_OFF_BY_AN_ACT), verified, &[]),
        case(
            "not yet verified is a state of its own",
            &rig(LEFT_OFF),
            "requires: { guard: shut, mains: off }
steps:
  - { id: on, do: Switch on., leaves: { mains: on }, verified_by: technician }
  - { id: off, do: Switch off., leaves: { mains: off } }",
            &["stop(off [] body)", "stop(on [] verify → stop)", "stop(on [] verify)", "universal"],
        ),
        case(
            "a hold point is denied by its verifier: what it leaves stays",
            &rig(LEFT_OFF),
            "requires: { mains: off }
steps:
  - id: hold
    hold: { released_by: technician, check: Check it. }
    leaves: { mains: on }
    verified_by: technician
    then: end
  - { id: end, do: Switch off., leaves: { mains: off } }",
            &["stop(end [] body)", "stop(hold [] verify → stop)", "stop(hold [] verify)", "universal"],
        ),
        case(
            "nobody can tell what a question shows: the plans are asked",
            &rig(LEFT_OFF),
            "requires: { mains: off }
steps:
  - id: which
    ask: Is it off?
    answers: { yes: { shows: { mains: off }, then: end }, no: { shows: { mains: on }, then: off } }
  - { id: off, do: Switch off., leaves: { mains: off } }
  - { id: end, do: Go. }",
            &["stop(off [] body)", "stop(which [] body → stop)", "universal"],
        ),
        case(
            "a look is denied by its verifier: what was looked at is open",
            &rig(LEFT_OFF),
            "requires: { mains: off }
steps:
  - { id: which, ask: Which?, verified_by: technician, answers: { yes: { shows: { mains: off }, then: end }, no: end } }
  - { id: end, do: Go. }",
            &["stop(which [] body → stop)", "stop(which [] verify → stop)", "universal"],
        ),
    ]
}

fn plans() -> Vec<Case> {
    let nothing = "steps: [{ id: go, do: Go. }]";
    vec![
        case(
            "an act of a plan needs what is not surely so, and looking tells",
            &rig(UNDER_THE_GUARD),
            "requires: { mains: off }\nsteps: [{ id: go, do: Go. }]",
            &["universal"],
        ),
        case(
            "a plan never breaks a new rule",
            &rig(OFF_BEHIND_THE_GUARD),
            nothing,
            &["stop(done)", "stop(go [] body)", "universal"],
        ),
        case("a plan may start in what is found broken, and end it", &rig(FOUND), nothing, &[]),
        case(
            "a plan waits for what nobody sees",
            &format!(
                "{HIDDEN}actions: {{ off: {{ do: Switch off., leaves: {{ mains: off }}, restores: true }} }}\n"
            ),
            "requires: { mains: on }\nsteps: [{ id: go, do: Go. }]",
            &[],
        ),
        case(
            "a plan waits for what can be seen",
            &settling(),
            "requires: { valve: shut }\nsteps: [{ id: go, do: Go. }]",
            &[],
        ),
        case(
            "a plan does not wait for what a look contradicted",
            &settling(),
            "steps:
  - { id: vent, do: Open the valve., leaves: { valve: open } }
  - { id: wait, wait: { for: 30 s } }
  - { id: look, confirm: { pressure: relieved }, otherwise: stop }",
            &["stop(look [] body → stop)"],
        ),
        case(
            "a plan looks only at what can be seen there",
            "conditions:
  cover: { values: [shut, open], ask: Is the cover shut? }
  part: { values: [fit, loose], ask: Is it fit?, seen_when: { cover: open } }
safe_state: { part: fit }
actions:
  mend: { do: Fit it., requires: { part: loose }, leaves: { part: fit }, restores: true }
",
            "requires: { cover: open }\nsteps: [{ id: shut, do: Shut it., leaves: { cover: shut } }]",
            &["stop(done)", "universal"],
        ),
        case(
            "a plan opens what covers the thing it looks at",
            "conditions:
  cover: { values: [shut, open], ask: Is the cover shut? }
  part: { values: [fit, loose], ask: Is it fit?, seen_when: { cover: open } }
safe_state: { part: fit }
actions:
  open: { do: Open it., leaves: { cover: open }, restores: true }
  mend: { do: Fit it., requires: { part: loose }, leaves: { part: fit }, restores: true }
",
            "requires: { cover: open }\nsteps: [{ id: shut, do: Shut it., leaves: { cover: shut } }]",
            &[],
        ),
        case(
            "a plan does not come to what somebody has to release",
            &(RELEASED.to_owned() + "}\n"),
            "requires: { pump: off, door: shut }\nsteps: [{ id: open, do: Open it., leaves: { door: open } }]",
            &["stop(done)", "universal"],
        ),
        case(
            "a plan first ends the other half of what somebody has to release",
            &(RELEASED.to_owned() + ", shut: { do: Shut it., leaves: { door: shut }, restores: true } }\n"),
            "requires: { pump: off, door: shut }\nsteps: [{ id: open, do: Open it., leaves: { door: open } }]",
            &[],
        ),
        case(
            "a plan does not end in what is found broken",
            &rig(FOUND_OPEN),
            "requires: { guard: open }
steps: [{ id: look, confirm: { mains: off }, otherwise: stop }]",
            &["stop(look [] body → stop)", "universal"],
        ),
        case(
            "a plan may write in what is surely broken already",
            &rig(TWO_ACTS),
            "requires: { guard: open }
steps: [{ id: look, confirm: { mains: off }, otherwise: stop }]",
            &[],
        ),
        case(
            "a plan waits only while time counts",
            HIDDEN_THEN_ON,
            "requires: { mains: off }
steps:
  - { id: on, do: Switch on., leaves: { mains: on } }",
            &["stop(done)", "universal"],
        ),
        case(
            "a plan cannot wait where time does not count",
            HIDDEN,
            "requires: { mains: on }\nsteps: [{ id: go, do: Go. }]",
            &["stop(done)", "stop(go [] body)", "universal"],
        ),
        case(
            "a plan looks at what it does not know",
            &format!(
                "{}safe_state: {{ mains: off }}\nactions:\n  off: {{ do: Switch off., requires: {{ guard: shut }}, \
                 leaves: {{ mains: off }}, restores: true }}\n  out: {{ do: Pull the plug., requires: {{ guard: open }}, \
                 leaves: {{ mains: off }}, restores: true }}\n",
                rig("")
            ),
            nothing,
            &[],
        ),
    ]
}

fn stages() -> Vec<Case> {
    vec![
        case(
            "a stop in the middle of an act, without a plan",
            &rig(UNDER_THE_GUARD),
            "requires: { mains: on, guard: shut }
steps: [{ id: both, do: Do both., leaves: { guard: open, mains: off } }]",
            &["stop(both [] in act 1)", "universal"],
        ),
        case(
            "the same act in the other order",
            &rig(UNDER_THE_GUARD),
            "requires: { mains: on, guard: shut }
steps: [{ id: both, do: Do both., leaves: { mains: off, guard: open } }]",
            &["universal"],
        ),
        case(
            "a stop between two ticks, without a plan",
            &rig(LEFT_OFF),
            "requires: { mains: off, guard: shut }
steps: [{ id: look, confirm: { mains: off, guard: shut }, otherwise: stop }]",
            &["stop(look [] tick 2 → stop)", "stop(look [] tick 2)", "universal"],
        ),
        case(
            "a stop after the last tick, without a plan",
            &rig(LEFT_OFF),
            "requires: { mains: off, guard: shut }
steps: [{ id: look, confirm: { guard: shut, mains: off }, otherwise: stop }]",
            &["stop(look [] tick 2 → stop)", "universal"],
        ),
    ]
}
