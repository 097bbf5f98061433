//! On the way to leave a machine no act counts on what was looked at too long ago, and no wait begins anew for that.

use super::leaving::{START, STEPS, say, waiting_by};
use journal::Journal;
use records::leaving::{Next, next};
use walk::{Input, Leaving, LiveWalk};

const MINUTE: i64 = 60_000;

/// The charge goes in an hour, and the drain is opened only where nobody stands: a look at that counts a quarter of an hour.
const RIG: &str = r#"
equipment: rig
title: A rig
revision: 1
roles: { technician: Works on it. }
conditions:
  area: { values: [clear, taken], ask: "Is the area clear?", lapses: 15 min }
  supply: { values: [live, isolated], ask: "Is the supply isolated?", lapses: 15 min }
  charge:
    values: [present, gone]
    settles: { from: present, to: gone, after: 1 h, while: { supply: isolated } }
    lost_when: { supply: live }
  drain: { values: [shut, open], ask: "Is the drain open?" }
actions:
  switch-off: { do: Turn the switch to 0., leaves: { supply: isolated }, restores: true }
  clear: { do: Send people away., leaves: { area: clear }, restores: true }
  open: { do: Open the drain., requires: { charge: gone, area: clear }, leaves: { drain: open }, restores: true }
never:
  poured: { when: { drain: open, area: taken }, hazard: harm }
safe_state: { supply: isolated, charge: gone, drain: open }
hazards:
  harm: { worst: minor, certainty: could, hazard: Harm, consequence: Harm comes., avoid: Keep off. }
"#;

/// A walk that was stopped while it waits, with the area seen clear at `START`.
fn stopped<'j>(journal: &'j mut Journal, at_ms: i64) -> LiveWalk<'j> {
    let steps = STEPS
        .replace("requires: { supply: live }", "requires: { supply: live, area: clear, drain: shut }")
        .replace("for: 45 s", "for: 1 h")
        .replace("do: Work.", "do: Work., leaves: { drain: open }");
    let steps = steps.replace("charge: gone }", "charge: gone, area: clear }");
    let mut live = waiting_by(journal, RIG, &steps);
    say(&mut live, &Input::Stop("rain".to_owned()), at_ms);
    live
}

/// What comes next, in a word.
fn told(live: &LiveWalk<'_>, now_ms: i64) -> String {
    match next(live.walk(), None, now_ms) {
        Next::Act { act, wait, .. } => wait.map_or(act, |millis| format!("wait {} min", millis / 60_000)),
        Next::Look { condition, choices, .. } => format!("look at {condition}: {choices:?}"),
        other => format!("{other:?}"),
    }
}

fn done(live: &mut LiveWalk<'_>, at_ms: i64) {
    let Next::Act { act, .. } = next(live.walk(), None, at_ms) else { panic!("{}", told(live, at_ms)) };
    say(live, &Input::Leaving(Leaving::Done(act)), at_ms);
}

fn looked(live: &mut LiveWalk<'_>, condition: &str, value: &str, at_ms: i64) {
    let looked = Leaving::Looked { condition: condition.to_owned(), values: vec![value.to_owned()] };
    say(live, &Input::Leaving(looked), at_ms);
}

#[test]
fn what_an_act_counts_on_is_looked_at_once_more_after_a_long_wait() {
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = stopped(&mut journal, START);
    assert_eq!(told(&live, START), "wait 60 min");
    // However late it is over: what a wait counts under is judged where it begins.
    let late = START + 61 * MINUTE;
    assert_eq!(told(&live, late), "wait 60 min");
    done(&mut live, late);
    assert_eq!(told(&live, late), r#"look at area: [["clear"], ["taken"]]"#);
    looked(&mut live, "area", "clear", late);
    // What nobody sees stands by the supply.
    assert_eq!(told(&live, late), r#"look at supply: [["isolated"], ["live"]]"#);
    looked(&mut live, "supply", "isolated", late);
    assert_eq!(told(&live, late), "Open the drain.");
    // An act counts on it from the look on, not from when it was shown.
    assert_eq!(told(&live, late + 15 * MINUTE), "Open the drain.");
    assert_eq!(told(&live, late + 15 * MINUTE + 1), r#"look at area: [["clear"], ["taken"]]"#);
}

/// What ran out first is asked first, though more has run out by the answer: what is asked is what is answered. Where nobody can look
/// any more no other act takes the place of the one that was shown.
#[test]
fn time_alone_puts_nothing_else_in_the_place_of_what_is_asked() {
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = stopped(&mut journal, START);
    let late = START + 61 * MINUTE;
    done(&mut live, late);
    // The area ran out together with the supply; looked at later, it runs out later.
    looked(&mut live, "area", "clear", late);
    assert_eq!(told(&live, late), r#"look at supply: [["isolated"], ["live"]]"#);
    assert_eq!(told(&live, late + 16 * MINUTE), r#"look at supply: [["isolated"], ["live"]]"#);
    let covered = RIG.replace(
        r#"ask: "Is the area clear?", "#,
        r#"ask: "Is the area clear?", seen_when: { drain: open }, "#,
    );
    let steps = STEPS.replace("requires: { supply: live }", "requires: { supply: live, drain: shut }");
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = waiting_by(&mut journal, &covered, &steps);
    say(&mut live, &Input::Stop("rain".to_owned()), START);
    for _ in 0..10 {
        match next(live.walk(), None, START) {
            Next::Act { act, .. } if act == "Open the drain." => break,
            Next::Act { act, .. } => say(&mut live, &Input::Leaving(Leaving::Done(act)), START),
            Next::Look { condition, .. } => looked(&mut live, &condition, "isolated", START),
            other => panic!("{other:?}"),
        }
    }
    assert_eq!(told(&live, START + 15 * MINUTE), "Open the drain.");
    assert!(
        told(&live, START + 15 * MINUTE + 1).starts_with("Cannot"),
        "{}",
        told(&live, START + 16 * MINUTE)
    );
}

/// Not as it was: the plan for the whole machine counts on nothing.
#[test]
fn what_is_not_as_it_was_begins_the_way_anew() {
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = stopped(&mut journal, START);
    let late = START + 61 * MINUTE;
    done(&mut live, late);
    looked(&mut live, "area", "clear", late);
    looked(&mut live, "supply", "live", late);
    let mut met = Vec::new();
    for _ in 0..10 {
        met.push(told(&live, late));
        match next(live.walk(), None, late) {
            Next::Act { act, .. } => say(&mut live, &Input::Leaving(Leaving::Done(act)), late),
            Next::Look { condition, .. } => {
                let value = if condition == "drain" { "shut" } else { "isolated" };
                looked(&mut live, &condition, if condition == "area" { "clear" } else { value }, late);
            }
            _ => break,
        }
        if met.last().is_some_and(|last| last == "Open the drain.") {
            break;
        }
    }
    let at = |words: &str| met.iter().position(|step| step.contains(words));
    assert!(at("Turn the switch to 0.") < at("wait 60 min") && at("wait 60 min") < at("Open"), "{met:?}");
    assert!(at("wait 60 min").is_some(), "{met:?}");
}

/// What was looked at lately enough is asked no more.
#[test]
fn what_was_looked_at_lately_stands() {
    let mut journal = Journal::in_memory().expect("a journal");
    let live = stopped(&mut journal, START + 15 * MINUTE);
    assert_eq!(told(&live, START + 15 * MINUTE), "wait 60 min");
    // Stopped later than it counts, nothing is believed of it.
    let mut journal = Journal::in_memory().expect("a journal");
    let late = stopped(&mut journal, START + 16 * MINUTE);
    assert_eq!(told(&late, START + 16 * MINUTE), "Turn the switch to 0.");
}

/// What a look of a plan shows stays known: where it shows a rule broken, the plan that follows ends that first, and what a wait was
/// seen not to have done is waited for no more without a look.
#[test]
fn after_a_surprise_the_plan_goes_by_what_was_seen() {
    let rig = r#"
equipment: rig
title: A rig
revision: 1
roles: { technician: Works on it. }
conditions:
  supply: { values: [isolated, live], ask: "Is the switch at 0?" }
  gauge:
    values: [present, relieved]
    ask: { present: "Does the gauge show pressure?", relieved: "Is the gauge at 0?" }
    settles: { from: present, to: relieved, after: 45 s, while: { supply: isolated } }
    lost_when: { supply: live }
  cap: { values: [fitted, open], ask: { fitted: "Is the cap on?", open: "Is the cap off?" } }
actions:
  isolate: { do: Turn the switch to 0., leaves: { supply: isolated }, restores: true }
  recap: { do: Fit the cap., leaves: { cap: fitted }, restores: true }
  uncap: { do: Open the cap., requires: { gauge: relieved }, leaves: { cap: open }, restores: true }
never:
  open-live: { when: { gauge: present, cap: open }, hazard: harm }
safe_state: { supply: isolated, gauge: relieved, cap: open }
hazards:
  harm: { worst: minor, certainty: could, hazard: Harm, consequence: Harm comes., avoid: Keep off. }
"#;
    let steps = STEPS.replace("requires: { supply: live }", "requires: { supply: live, cap: fitted }");
    let steps = steps.replace("requires: { supply: isolated, charge: gone }, ", "");
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = waiting_by(&mut journal, rig, &steps);
    say(&mut live, &Input::Stop("rain".to_owned()), START);
    done(&mut live, START + 45_000);
    assert_eq!(told(&live, START + 45_000), "Open the cap.");
    done(&mut live, START + 46_000);
    looked(&mut live, "supply", "isolated", START + 47_000);
    assert!(told(&live, START + 47_000).starts_with("look at gauge"), "{}", told(&live, START));
    looked(&mut live, "gauge", "present", START + 47_000);
    // The rule is broken and was seen to be: unless it is over by now, that is ended first.
    assert_eq!(told(&live, START + 48_000), r#"look at gauge: [["relieved"], ["present"]]"#);
    looked(&mut live, "gauge", "present", START + 48_000);
    assert_eq!(told(&live, START + 48_000), "Fit the cap.");
    done(&mut live, START + 48_000);
    let mut met = Vec::new();
    for second in 49..70 {
        let now = START + second * 60_000;
        met.push(told(&live, now));
        match next(live.walk(), None, now) {
            Next::Act { act, .. } => say(&mut live, &Input::Leaving(Leaving::Done(act)), now),
            Next::Look { condition, .. } => {
                let value = match condition.as_str() {
                    "gauge" => "present",
                    "cap" => "fitted",
                    _ => "isolated",
                };
                looked(&mut live, &condition, value, now);
            }
            _ => break,
        }
    }
    assert!(!met.iter().any(|step| step == "Open the cap."), "{met:?}");
    assert!(met.last().is_some_and(|last| last.starts_with("Cannot")), "{met:?}");
}

/// Every look says otherwise: another plan is made, and not for ever.
#[test]
fn what_surprises_again_and_again_leads_to_nobody_at_the_machine() {
    let rig = r#"
equipment: rig
title: A rig
revision: 1
roles: { technician: Works on it. }
conditions:
  supply: { values: [isolated, live], ask: "Is the supply isolated?" }
  lead: { values: ["on", "off", bare], ask: { "on": "Is it on?", "off": "Is it off?", bare: "Is it bare?" } }
actions:
  take-off: { do: Take it off., requires: { lead: "on" }, leaves: { lead: "off" }, restores: true }
  cap: { do: Cap it., requires: { lead: bare }, leaves: { lead: "off" }, restores: true }
safe_state: { lead: "off" }
"#;
    let steps = STEPS.replace("requires: { supply: live }", "requires: { supply: live, lead: \"on\" }");
    let steps = steps.replace("requires: { supply: isolated, charge: gone }, ", "");
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = waiting_by(&mut journal, rig, &steps);
    say(&mut live, &Input::Stop("rain".to_owned()), START);
    let mut acts = 0;
    for _ in 0..40 {
        match next(live.walk(), None, START) {
            Next::Act { act, .. } => {
                acts += 1;
                say(&mut live, &Input::Leaving(Leaving::Done(act)), START);
            }
            // Taken off it is seen bare, capped it is seen on.
            Next::Look { condition, .. } => {
                looked(&mut live, &condition, if acts % 2 == 0 { "on" } else { "bare" }, START);
            }
            Next::Cannot { .. } => break,
            other => panic!("{other:?}"),
        }
    }
    assert!(told(&live, START).starts_with("Cannot") && acts == 3, "{acts}: {}", told(&live, START));
}
