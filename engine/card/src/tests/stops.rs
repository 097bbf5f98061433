//! How the machine can be left from each step, worked out by hand on a small lamp.

use super::standing;
use crate::page::{Page, PlanLineKind, ProofNote, Stop, build};
use document::{InputFile, read};

/// The lamp is put out by its switch, its hatch is shut by hand with a glove on.
const LAMP: &str = "\
equipment: lamp
title: Lamp
revision: 1
defer: The maker's instructions come first.
release: officer
conditions:
  switch: { values: ['off', 'on'], ask: Is the switch at 0?, normal: 'off' }
  hatch: { values: [shut, open], ask: Is the hatch shut?, normal: shut }
never:
  lit-open: { when: { switch: 'on', hatch: open }, hazard: shock }
work:
  reach-in: { requires: { switch: 'off' }, wear: [glove], hazard: shock, by: technician, people: 2 }
actions:
  put-out: { do: Turn the switch to 0., requires: { switch: 'on' }, leaves: { switch: 'off' }, restores: true }
  shut-hatch: { do: Push the hatch shut., work: reach-in, leaves: { hatch: shut }, tools: [hook], restores: true }
hazards:
  shock: { worst: death, certainty: could, hazard: Bare terminals, consequence: Contact can kill., avoid: Keep hands off. }
safe_state: { switch: 'off', hatch: shut }
roles: { technician: Holds the qualification., officer: Releases. }
wear: { glove: A rubber glove }
tools: { hook: A hook }
";

const WORK: &str = "\
procedure: work
title: Clean the lamp
equipment: lamp
revision: 1
effective: 2026-11-02
author: Ilse Marrow
purpose: Clean it.
scope: The lamp.
performers: { technician: 2 }
time: 5 min
level_of_use: continuous
tools: [hook]
supplies: none
spares: none
wear: none
requires: { switch: ['off', 'on'], hatch: shut }
steps:
  - { id: out, do: Turn the switch to 0., leaves: { switch: 'off' } }
  - { id: dark, confirm: { switch: 'off' }, otherwise: stop }
  - { id: open, work: reach-in, by: technician, do: Pull the hatch open., leaves: { hatch: open } }
  - { id: wipe, work: reach-in, by: technician, do: Wipe the glass., expect: It is clear. }
  - { id: shut, action: shut-hatch, by: technician }
";

const UNTOLD: &str = "If you cannot tell: this machine cannot be brought to rest from here: see below.";

fn page(lamp: &str) -> Page {
    page_of(lamp, WORK)
}

fn page_of(lamp: &str, work: &str) -> Page {
    let file = |name: &str, text: &str| InputFile { name: name.into(), bytes: text.as_bytes().to_vec() };
    let reading = read(&[file("lamp.yaml", lamp), file("work.yaml", work)]);
    assert_eq!(reading.findings, [], "the fixture reads without a finding");
    let name = "work".into();
    let machine = machine::compile(&reading.library, &name).expect("it compiles");
    let budget = proof::Budget { boxes: 100_000, go_on: &|| true };
    let proof = proof::prove(&machine, &budget).expect("it replays");
    assert!(proof.ended.is_none());
    let note = ProofNote { machine: &machine, proof: &proof, second: true };
    build(&reading.library, &name, &standing(), Some(&note)).expect("a page")
}

fn stop(page: &Page) -> &Stop {
    page.stop.as_ref().expect("a state to be left in")
}

fn lines(lines: &[crate::page::PlanLine]) -> Vec<(usize, PlanLineKind, &str)> {
    lines.iter().map(|line| (line.depth, line.kind, line.text.as_str())).collect()
}

const WARNING: &str = "WARNING: Bare terminals. Keep hands off.";
const ASIDE: &str = "Wear: A rubber glove. Take: A hook. Done by the technician. At least 2 people together.";

#[test]
fn a_step_has_one_plan_and_it_says_what_to_look_at() {
    use PlanLineKind::{Aside, End, If, Tick, Warning};
    let page = page(LAMP);
    let stop = stop(&page);
    let rows: Vec<(&str, bool)> = stop.rows.iter().map(|row| (row.at.as_str(), row.is_known)).collect();
    assert_eq!(
        rows,
        [("Step 1", true), ("Step 2", true), ("Steps 3 to 5", true), ("After the last step", true)]
    );
    // At the start the switch may be either way; a plan for each of both would be two plans with no condition.
    assert_eq!(
        lines(&stop.rows[0].lines),
        [
            (0, Tick, "Is the switch at 0?"),
            (0, If, "If no:"),
            (1, Tick, "Turn the switch to 0."),
            // The act needs that it is at 1.
            (0, If, UNTOLD),
        ]
    );
    assert_eq!(lines(&stop.rows[1].lines), [(0, End, "Nothing to do first.")]);
    // The record knows that it is open. What the act asks for stands with it.
    assert_eq!(
        lines(&stop.rows[2].lines),
        [(0, Warning, WARNING), (0, Aside, ASIDE), (0, Tick, "Push the hatch shut.")]
    );
    let looks: Vec<&str> = stop.looks.iter().map(|one| one.ask.as_str()).collect();
    assert_eq!(looks, ["Is the switch at 0?", "Is the hatch shut?"]);
}

/// What a later step relies on is looked at again, what nobody sees is waited for; what nothing relies on is not named.
#[test]
fn whoever_takes_work_up_is_told_what_to_look_at_and_wait_for() {
    let how = |page: &Page| stop(page).how.clone().expect("it was proved");
    let told = how(&page(LAMP));
    assert!(told.contains("first looks again at the switch and hatch, as far as it can be seen"), "{told}");
    assert!(!told.contains("wait in full"), "nothing is hidden: {told}");
    let charge = "conditions:\n  charge: { values: [present, gone], \
                  settles: { from: present, to: gone, after: 45 s, while: { switch: 'off' } } }\n  \
                  plate: { values: ['on', 'off'], ask: Is the plate on? }";
    let lamp = LAMP
        .replace("conditions:", charge)
        .replace("{ switch: 'off' }, wear", "{ switch: 'off', charge: gone }, wear");
    let work = WORK.replace("  - { id: open,", "  - { id: settle, wait: { for: 45 s } }\n  - { id: open,");
    let told = how(&page_of(&lamp, &work));
    assert!(told.contains("Then wait in full: 45 s for charge, all the while switch: off."), "{told}");
    assert!(!told.contains("plate"), "nothing relies on it: {told}");
}

/// What counts for a time only is told with its time; what the work does not rely on is not told.
#[test]
fn whoever_is_slow_is_told_what_to_look_at_again() {
    let lapsing = LAMP.replace("normal: 'off' }", "normal: 'off', lapses: 15 min }");
    let sentence =
        "what was looked at or set counts for a time only: switch 15 min. Later than that, look again before";
    let told = |lamp: &str| stop(&page(lamp)).how.clone().expect("it was proved");
    assert!(told(&lapsing).contains(sentence), "{}", told(&lapsing));
    assert!(!told(LAMP).contains("for a time only"), "{}", told(LAMP));
}

#[test]
fn the_plan_for_the_whole_machine_stands_once_and_has_an_end_where_nothing_helps() {
    use PlanLineKind::{Aside, End, If, Tick, Warning};
    let page = page(LAMP);
    let whole = stop(&page).whole.as_ref().expect("a plan");
    assert_eq!(
        lines(whole),
        [
            (0, Tick, "Is the switch at 0?"),
            (0, If, "If no:"),
            (1, Tick, "Turn the switch to 0."),
            (1, Tick, "Look again: Is the switch at 0? Expect yes."),
            (0, If, UNTOLD),
            (0, Tick, "Is the hatch shut?"),
            (0, If, "If no:"),
            (1, Warning, WARNING),
            (1, Aside, ASIDE),
            (1, Tick, "Push the hatch shut."),
            (1, Tick, "Look again: Is the hatch shut? Expect yes."),
            (0, End, "Then look at each as above."),
        ]
    );
    let text = crate::text::text(&page);
    assert_eq!(text.matches("The plan for the whole machine, whatever you find:").count(), 1, "{text}");
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("Keep away from the machine. Put up a barrier"), "{text}");
    assert!(words.contains("call the officer."), "{text}");
    let html = crate::html::html(&page).expect("a card");
    assert!(html.contains("<li class=\"line-if under-0\"><span>If no:</span></li>"), "{html}");
    let nobody = super::stops::page(&LAMP.replace("release: officer\n", ""));
    assert!(stop(&nobody).cannot.contains("whoever releases machines here"));
}

#[test]
fn where_no_plan_serves_everything_that_is_told() {
    // Nothing shuts the hatch again.
    let page = page(&LAMP.replace("tools: [hook], restores: true }", "tools: [hook] }"));
    let stop = stop(&page);
    assert_eq!(stop.whole, None);
    let unknown: Vec<&str> =
        stop.rows.iter().filter(|row| !row.is_known).map(|row| row.at.as_str()).collect();
    assert_eq!(unknown, ["Steps 3 to 5"], "from where the hatch is being opened");
    assert!(crate::text::text(&page).contains("No way is known: stay away and call for help."));
}

#[test]
fn a_step_that_two_ways_lead_to_has_a_plan_that_serves_both() {
    // Either the switch is on or the hatch open, and whoever stops at the second step cannot know which way was taken.
    let (head, _) = WORK.split_once("requires:").expect("a head");
    let work = format!(
        "{head}requires: {{ switch: ['off', 'on'], hatch: [shut, open] }}
steps:
  - id: which
    ask: How is it?
    answers:
      open: {{ shows: {{ switch: 'off', hatch: open }}, then: out }}
      lit: {{ shows: {{ switch: 'on', hatch: shut }}, then: out }}
  - {{ id: out, do: Turn the switch to 0., leaves: {{ switch: 'off' }} }}
"
    );
    let page = page_of(LAMP, &work);
    let row = stop(&page).rows.iter().find(|row| row.at.contains('2')).expect("a row");
    let done: Vec<(usize, &str)> = row
        .lines
        .iter()
        .filter(|line| matches!(line.kind, PlanLineKind::Tick | PlanLineKind::If))
        .map(|line| (line.depth, line.text.as_str()))
        .collect();
    assert_eq!(
        done,
        [
            (0, "Is the switch at 0?"),
            (0, "If yes:"),
            (1, "Push the hatch shut."),
            (0, "If no:"),
            (1, "Turn the switch to 0."),
            (1, "Push the hatch shut."),
            (0, UNTOLD),
        ]
    );
}

/// The magnet holds a load up: turned off before the load is down, it drops it.
const MAGNET: &str = "\
equipment: lamp
title: Magnet
revision: 1
defer: The maker's instructions come first.
conditions:
  magnet: { values: ['off', 'on'], ask: Is the magnet lamp dark?, normal: 'off' }
  load: { values: [down, up], ask: Does the load stand on the floor?, normal: down }
never:
  drop: { when: { magnet: 'off', load: up }, hazard: fall }
actions:
  lower: { do: Lower the load., leaves: { load: down }, restores: true }
  turn-off: { do: Turn the magnet off., leaves: { magnet: 'off' }, restores: true }
hazards:
  fall: { worst: death, certainty: could, hazard: A load overhead, consequence: It can kill., avoid: Stand back. }
safe_state: { magnet: 'off', load: down }
roles: { technician: Holds the qualification. }
tools: { hook: A hook }
";

/// What is looked at and done at a step, a line each with its depth.
fn done_at<'p>(page: &'p Page, step: &str) -> Vec<(usize, &'p str)> {
    let row = stop(page)
        .rows
        .iter()
        .find(|row| row.at.contains(step))
        .unwrap_or_else(|| panic!("{step}: {:?}", stop(page).rows));
    let is_done = |line: &&crate::page::PlanLine| line.kind != PlanLineKind::Aside;
    row.lines.iter().filter(is_done).map(|line| (line.depth, line.text.as_str())).collect()
}

/// Whoever stops with the load half up is told nothing that would do only before it was lifted.
#[test]
fn the_plan_at_an_act_serves_before_in_the_middle_of_and_after_it() {
    let (head, _) = WORK.split_once("requires:").expect("a head");
    let lift = "do: Lift the load., leaves: { load: up }";
    let lowered = [(0, "Lower the load."), (0, "Turn the magnet off.")];
    let alone = format!("  - {{ id: lift, {lift} }}\n");
    let among = format!(
        "  - id: both\n    any_order:\n      - {{ id: lift, {lift} }}\n      - {{ id: wipe, do: Wipe the hook., expect: It is clean. }}\n"
    );
    let again = format!(
        "  - id: both\n    repeat:\n      at_most: 2\n      until: {{ load: up }}\n      \
         steps:\n        - {{ id: lift, {lift} }}\n    otherwise: stop\n"
    );
    for (lifting, step) in [(alone, "2"), (among, "2"), (again, "2")] {
        let work = format!(
            "{head}requires: {{ magnet: 'off', load: down }}\nsteps:\n  \
             - {{ id: power, do: Turn the magnet on., leaves: {{ magnet: 'on' }} }}\n{lifting}  \
             - {{ id: down, action: lower }}\n  - {{ id: dark, action: turn-off }}\n"
        );
        let page = page_of(MAGNET, &work);
        let told = done_at(&page, step);
        assert!(
            told == lowered || told == [(0, "Follow the plan for the whole machine from its beginning.")],
            "{told:?}"
        );
        assert_eq!(done_at(&page, "Step 1"), [(0, "Turn the magnet off.")]);
    }
}

/// Behind the hatch that is shut at rest nobody can look at the valve, and on the way there the hatch has to be open.
#[test]
fn nothing_is_asked_that_cannot_be_seen_and_every_look_again_says_what_to_expect() {
    let lamp = LAMP
        .replace(
            "never:",
            "  valve: { values: [closed, leaking], ask: Is the valve closed?, seen_when: { hatch: open }, normal: closed }\nnever:",
        )
        .replace(
            "shut-hatch:",
            "open-hatch: { do: Pull it open., requires: { switch: 'off' }, leaves: { hatch: open }, restores: true }\n  \
             close-valve: { do: Close it., requires: { hatch: open }, leaves: { valve: closed }, restores: true }\n  \
             shut-hatch:",
        )
        .replace("safe_state: { switch: 'off',", "safe_state: { valve: closed, switch: 'off',");
    let page = page_of(&lamp, WORK);
    let stop = stop(&page);
    let looks: Vec<&str> = stop.looks.iter().map(|one| one.ask.as_str()).collect();
    assert_eq!(looks, ["Is the switch at 0?", "Is the hatch shut?"]);
    assert_eq!(stop.unseen, ["valve: closed"]);
    let whole = stop.whole.as_ref().expect("a plan");
    let again: Vec<&str> =
        whole.iter().map(|line| line.text.as_str()).filter(|text| text.starts_with("Look again")).collect();
    assert!(again.contains(&"Look again: Is the hatch shut? Expect no."), "{again:?}");
    assert!(
        again.iter().all(|text| text.ends_with("Expect yes.") || text.ends_with("Expect no.")),
        "{again:?}"
    );
}

/// Nothing of the plan for the whole machine ends what was seen to be broken: that comes first.
#[test]
fn what_was_seen_to_be_broken_is_ended_before_the_plan_for_the_whole_machine() {
    // The machine may be left with the hatch open, but never lit.
    let lamp =
        LAMP.replace("safe_state: { switch: 'off', hatch: shut }", "safe_state: { hatch: [shut, open] }");
    let page = page(&lamp);
    let row = stop(&page).rows.last().expect("a row");
    let told: Vec<&str> = row.lines.iter().map(|line| line.text.as_str()).collect();
    assert_eq!((row.at.as_str(), told[0]), ("Just seen", "If switch: on and hatch: open:"));
    let end = "Follow the plan for the whole machine from its beginning.";
    assert!(told.contains(&"Turn the switch to 0.") && told.last() == Some(&end), "{told:?}");
    // Where no act puts it out, people keep away all the same.
    let puts_out = "requires: { switch: 'on' }, leaves: { switch: 'off' }, restores: true }";
    let unrestored = lamp.replace(puts_out, "leaves: { switch: 'off' } }");
    let page = page_of(&unrestored.replace("tools: [hook], restores: true", "tools: [hook]"), WORK);
    let row = stop(&page).rows.last().expect("a row");
    assert!(
        row.words().ends_with("too, this machine cannot be brought to rest: see below."),
        "{}",
        row.words()
    );
}
