//! The way to leave a machine after a stop, by the walk's records alone: what an interruption does to it.

use document::{InputFile, Library};
use journal::Journal;
use records::leaving::{Next, next, next_for, preview};
use walk::{Begin, Input, Leaving, LiveWalk, Look, Stage};

/// Times and values are invented.
pub(crate) const RIG: &str = r#"
equipment: rig
title: A rig
revision: 1
roles: { technician: Works on it. }
conditions:
  supply: { values: [isolated, live], ask: "Is the switch at 0?" }
  charge:
    values: [present, gone]
    settles: { from: present, to: gone, after: 45 s, while: { supply: isolated } }
    lost_when: { supply: [isolated, live] }
actions:
  switch-off: { do: Turn the switch to 0., leaves: { supply: isolated }, restores: true }
safe_state: { supply: isolated, charge: gone }
hazards:
  harm: { worst: minor, certainty: could, hazard: Harm, consequence: Harm comes., avoid: Keep off. }
"#;

pub(crate) const STEPS: &str = "
procedure: main
title: A procedure
equipment: rig
revision: 1
purpose: Work.
scope: The rig.
performers: { technician: 1 }
time: 5 min
level_of_use: continuous
tools: none
supplies: none
spares: none
wear: none
requires: { supply: live }
steps:
  - { id: off, do: Turn it off., leaves: { supply: isolated } }
  - { id: settle, wait: { for: 45 s } }
  - { id: work, requires: { supply: isolated, charge: gone }, do: Work. }
";

pub(crate) const START: i64 = 1_795_600_000_000;

pub(crate) fn say(live: &mut LiveWalk<'_>, input: &Input, now_ms: i64) {
    live.answer(input, now_ms).unwrap_or_else(|error| panic!("{input:?} at {:?}: {error}", live.prompt()));
}

/// The rig and a procedure.
pub(crate) fn library(rig: &str, steps: &str) -> Library {
    let file = |name: &str, text: &str| InputFile { name: name.to_owned(), bytes: text.as_bytes().to_vec() };
    let reading = document::read(&[file("rig.yaml", rig), file("main.yaml", steps)]);
    reading.library
}

/// A walk by Tomas Reeve that has turned the supply off and waits.
fn waiting(journal: &mut Journal) -> LiveWalk<'_> {
    waiting_by(journal, RIG, STEPS)
}

/// The same on another rig, by another procedure.
pub(crate) fn waiting_by<'j>(journal: &'j mut Journal, rig: &str, steps: &str) -> LiveWalk<'j> {
    let (serial, person) = ("1".to_owned(), "Tomas Reeve".to_owned());
    let begin = Begin::training(&library(rig, steps), "main", serial, person).expect("it is there");
    let begin = Begin { rehearsal: true, ..begin };
    let mut live = walk::begin(journal, "one", begin, START).expect("begun");
    while matches!(live.walk().stage(), Stage::Gate { .. }) {
        say(&mut live, &Input::Look(Look::Yes), START);
    }
    say(&mut live, &Input::Done, START);
    assert!(matches!(live.walk().stage(), Stage::Wait { .. }), "{:?}", live.walk().stage());
    live
}

/// Nothing is believed of the supply: it is turned off before anything else.
fn turns_the_supply_off_first(next: &Next) {
    assert!(matches!(next, Next::Act { act, wait: None, .. } if act == "Turn the switch to 0."), "{next:?}");
}

/// Goes the way to its end; gives the waits on it, in milliseconds.
fn gone(live: &mut LiveWalk<'_>) -> Vec<u64> {
    let mut waits = Vec::new();
    for _ in 0..10 {
        let said = match next(live.walk(), None, START) {
            Next::Act { act, wait, .. } => {
                waits.extend(wait);
                Leaving::Done(act)
            }
            Next::Look { condition, .. } => {
                Leaving::Looked { condition, values: vec!["isolated".to_owned()] }
            }
            Next::Nothing => return waits,
            other @ (Next::Stuck | Next::Cannot { .. }) => panic!("{other:?}"),
        };
        say(live, &Input::Leaving(said), START);
    }
    panic!("the way does not end");
}

#[test]
fn whoever_goes_on_with_leaving_begins_anew_and_waits_in_full() {
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = waiting(&mut journal);
    say(&mut live, &Input::Stop("rain".to_owned()), START);
    // Whoever stopped had just turned it off.
    let Next::Act { act, wait: Some(45_000), .. } = next(live.walk(), None, START) else {
        panic!("{:?}", next(live.walk(), None, START))
    };
    turns_the_supply_off_first(&next_for(live.walk(), None, false, START));
    say(&mut live, &Input::Leaving(Leaving::Done(act)), START + 45_000);
    say(&mut live, &Input::Resume { person: "Anneke Voss".to_owned() }, START + 46_000);
    turns_the_supply_off_first(&next(live.walk(), None, START));
    assert_eq!(live.walk().last_ms(), START + 46_000, "no wait counts from before");
    assert_eq!(gone(&mut live), [45_000]);
    // Who comes when it is done finds it done.
    assert_eq!(next_for(live.walk(), None, false, START), Next::Nothing);
}

#[test]
fn whoever_stops_after_an_interruption_believes_nothing_of_before() {
    let stop = || Input::Stop("rain".to_owned());
    let away = Input::StopAway { reason: "rain".to_owned(), person: "Anneke Voss".to_owned() };
    let resume = |person: &str| Input::Resume { person: person.to_owned() };
    for said in [
        vec![Input::Pause, stop()],
        vec![away],
        vec![Input::Pause, resume("Tomas Reeve"), stop()],
        vec![resume("Anneke Voss"), stop()],
    ] {
        let mut journal = Journal::in_memory().expect("a journal");
        let mut live = waiting(&mut journal);
        let shown = preview(live.walk(), None, false);
        assert_ne!(preview(live.walk(), None, true), shown);
        for input in &said {
            say(&mut live, input, START);
        }
        turns_the_supply_off_first(&next(live.walk(), None, START));
        assert_eq!(gone(&mut live), [45_000], "{said:?}");
    }
}

/// Nobody is told that a machine may be left as it is of which nothing says how it may be left and something must never be.
#[test]
fn without_a_state_to_leave_in_nothing_says_that_it_may_be_left() {
    let stateless = RIG.replace("safe_state: { supply: isolated, charge: gone }\n", "");
    let ruled =
        format!("{stateless}never: {{ r: {{ when: {{ supply: live, charge: gone }}, hazard: harm }} }}\n");
    for (rig, told) in [(&stateless, Next::Nothing), (&ruled, Next::Stuck)] {
        let mut journal = Journal::in_memory().expect("a journal");
        let mut live = waiting_by(&mut journal, rig, STEPS);
        let lines = preview(live.walk(), None, true);
        let may_be_left = lines.iter().any(|line| line.words == records::leaving::AS_IT_IS);
        assert_eq!(may_be_left, told == Next::Nothing, "{lines:?}");
        say(&mut live, &Input::Stop("rain".to_owned()), START);
        assert_eq!(next(live.walk(), None, START), told);
    }
}

/// Each act stands with its warnings, what to wear, the tools and the people that its type of work asks for.
#[test]
fn an_act_is_told_with_what_is_read_before_it() {
    let work = "wear: { gloves: Leather gloves }\ntools: { key: A square key }\nwork:\n  \
                switching: { wear: [gloves], hazard: harm, by: technician, people: 2, verified_by: technician }\nactions:";
    let act = "do: Turn the switch to 0., work: switching, tools: [key]";
    let demanding = RIG.replace("actions:", work).replace("do: Turn the switch to 0.", act);
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = waiting_by(&mut journal, &demanding, STEPS);
    let lines = preview(live.walk(), None, false);
    let told = |act: &records::Act| {
        assert_eq!(act.words, "Turn the switch to 0.");
        assert_eq!((act.warnings[0].word, &*act.warnings[0].hazard), ("CAUTION", "Harm."));
        assert_eq!(act.warnings[0].avoid, "Keep off.");
        assert_eq!(
            (&act.wear[..], &act.takes[..]),
            (&["Leather gloves".to_owned()][..], &["A square key".to_owned()][..])
        );
        let people = ["done by the technician", "at least 2 people together", "verified by the technician"];
        assert_eq!(act.people, people);
    };
    let acts: Vec<&records::Act> = lines.iter().filter_map(|line| line.act.as_ref()).collect();
    assert!(!acts.is_empty(), "{lines:?}");
    acts.into_iter().for_each(told);
    say(&mut live, &Input::Pause, START);
    say(&mut live, &Input::Stop("rain".to_owned()), START);
    let Next::Act { shown: Some(shown), .. } = next(live.walk(), None, START) else {
        panic!("{:?}", next(live.walk(), None, START))
    };
    told(&shown);
    told(&records::act(live.walk(), "switch-off").expect("an act"));
}
