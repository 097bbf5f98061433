//! Whether what a walk goes by is proved under the equipment as it stands now, and by what its machine is left then.

use super::leaving::{RIG, START, STEPS, library, say, waiting_by};
use journal::Journal;
use records::leaving::{Next, next, preview};
use records::{Judged, judged};
use walk::{Input, Leaving, LiveWalk, Walk};

/// What the rig as it is now written says of a walk by these steps.
fn of(walk: &Walk, rig: &str) -> Judged {
    judged(walk, &library(rig, STEPS), &check::Budget { boxes: 100_000, go_on: &|| true })
}

fn why(judged: &Judged) -> &str {
    judged.unproved.as_ref().map_or("", |unproved| &unproved.why)
}

/// The rig with one thing written otherwise.
fn rig(from: &str, to: &str) -> String {
    assert_eq!(RIG.matches(from).count(), 1, "{from}");
    RIG.replace(from, to)
}

/// Steps that wait longer than they have to.
fn patient() -> String {
    STEPS.replace("wait: { for: 45 s }", "wait: { for: 120 s }")
}

#[test]
fn a_walk_goes_on_while_what_it_goes_by_is_proved() {
    let mut journal = Journal::in_memory().expect("a journal");
    let live = waiting_by(&mut journal, RIG, STEPS);
    let same = of(live.walk(), RIG);
    assert!(same.unproved.is_none() && same.ground.is_none(), "{:?}", same.unproved);
    // Words, another revision, and what is not so strict: the machine is left by what is written now.
    let worded = of(live.walk(), &rig("title: A rig\nrevision: 1", "title: The rig\nrevision: 2"));
    assert!(worded.unproved.is_none(), "{:?}", worded.unproved);
    let sooner = of(live.walk(), &rig("after: 45 s", "after: 30 s"));
    assert!(sooner.unproved.is_none() && sooner.ground.is_some(), "{:?}", sooner.unproved);
    // A rule that no step breaks.
    let ruled = rig(
        "actions:",
        "never: { odd: { when: { supply: live, charge: present }, hazard: harm } }\nactions:",
    );
    assert_eq!(why(&of(live.walk(), &ruled)), "");
}

#[test]
fn what_the_equipment_refutes_is_told_with_what_changed() {
    let mut journal = Journal::in_memory().expect("a journal");
    let live = waiting_by(&mut journal, RIG, STEPS);
    let later = of(live.walk(), &rig("after: 45 s", "after: 90 s"));
    let start = "What this walk goes by is not proved any more under the equipment as it stands now: step `work` needs";
    assert!(why(&later).starts_with(start), "{}", why(&later));
    let changes = later.unproved.expect("told").changes;
    assert_eq!(changes, ["charge settles after 90 s, before after 45 s."]);
    // A rule that a step breaks.
    let ruled = rig(
        "actions:",
        "never: { isolated-once: { when: { supply: isolated }, hazard: harm, why: It must run. } }\nactions:",
    );
    let ruled = of(live.walk(), &ruled);
    assert!(why(&ruled).contains("not proved any more"), "{}", why(&ruled));
    let changes = ruled.unproved.expect("told").changes;
    assert_eq!(changes, ["A new rule: this must never be so: isolated once. It must run."]);
    // What makes no sense, and what is gone.
    for (from, to) in [
        ("lost_when: { supply: [isolated, live] }", "lost_when: { suply: live }"),
        ("equipment: rig", "equipment: rag"),
    ] {
        let now = of(live.walk(), &rig(from, to));
        assert!(now.unproved.is_some(), "{to}");
    }
    // In the middle of typing, with nothing that was in force before.
    assert!(of(live.walk(), &rig("conditions:", "conditions: [")).unproved.is_some());
}

/// The proof is of the steps. When work is taken up again the walk itself waits and looks, by its own equipment.
#[test]
fn what_the_walk_itself_waits_for_or_looks_at_is_no_less_than_what_is_asked_now() {
    let mut journal = Journal::in_memory().expect("a journal");
    let live = waiting_by(&mut journal, RIG, &patient());
    assert_eq!(why(&of(live.walk(), RIG)), "");
    let asks = "The equipment as it stands now asks for more than this walk looks at or waits for: ";
    let looked_at = "ask: \"Is the switch at 0?\"";
    for (from, to, what) in [
        ("after: 45 s", "after: 90 s", "charge"),
        (looked_at, "ask: \"Is the switch at 0?\", lapses: 5 min", "supply"),
        (looked_at, "ask: \"Is the switch at 0?\", normal: isolated", "supply"),
        ("lost_when: { supply: [isolated, live] }", "lost_when: { supply: live }", "charge"),
    ] {
        assert_eq!(why(&of(live.walk(), &rig(from, to))), format!("{asks}{what}."), "{to}");
    }
    // Wherever the supply is moved to, the charge comes back.
    let odd = rig("values: [isolated, live]", "values: [isolated, live, odd]")
        .replace("{ supply: [isolated, live] }", "{ supply: [isolated, live, odd] }");
    assert_eq!(why(&of(live.walk(), &odd)), format!("{asks}supply, charge."));
    for (from, to) in [
        (looked_at, "ask: \"Is the switch at nought?\""),
        (looked_at, "ask: \"Is the switch at 0?\", keeps: true"),
    ] {
        assert_eq!(why(&of(live.walk(), &rig(from, to))), "", "{to}");
    }
}

#[test]
fn what_kept_and_does_not_any_more_is_looked_at_again() {
    let keeping = rig("ask: \"Is the switch at 0?\"", "ask: \"Is the switch at 0?\", keeps: true");
    let mut journal = Journal::in_memory().expect("a journal");
    let live = waiting_by(&mut journal, &keeping, STEPS);
    assert_eq!(why(&of(live.walk(), &keeping)), "");
    assert!(
        why(&of(live.walk(), RIG)).ends_with("looks at or waits for: supply."),
        "{}",
        why(&of(live.walk(), RIG))
    );
}

/// Goes one step of the way; gives what it is, with how long it waits.
fn gone(live: &mut LiveWalk<'_>, judged: &Judged) -> Option<(String, Option<u64>)> {
    let (said, told) = match next(live.walk(), judged.ground.as_ref(), START) {
        Next::Act { act, wait, .. } => (Leaving::Done(act.clone()), (act, wait)),
        Next::Look { condition, choices, .. } => {
            (Leaving::Looked { condition: condition.clone(), values: choices[0].clone() }, (condition, None))
        }
        Next::Nothing => return None,
        other @ (Next::Stuck | Next::Cannot { .. }) => panic!("{other:?}"),
    };
    say(live, &Input::Leaving(said), START);
    Some(told)
}

fn all(live: &mut LiveWalk<'_>, judged: &Judged) -> Vec<u64> {
    std::iter::from_fn(|| gone(live, judged)).take(20).filter_map(|(_, wait)| wait).collect()
}

#[test]
fn the_machine_is_left_by_the_equipment_as_it_stands_now() {
    let stopped = |journal: &mut Journal| {
        let mut live = waiting_by(journal, RIG, STEPS);
        say(&mut live, &Input::Stop("rain".to_owned()), START);
        live.keep()
    };
    let mut journal = Journal::in_memory().expect("a journal");
    let kept = stopped(&mut journal);
    let (own, later) = (of(kept.walk(), RIG), of(kept.walk(), &rig("after: 45 s", "after: 90 s")));
    let lines = preview(kept.walk(), later.ground.as_ref(), true);
    assert!(lines.iter().any(|line| line.words == "Wait 1 min 30 s."), "{lines:?}");
    let mut live = kept.live(&mut journal);
    assert_eq!(all(&mut live, &later), [90_000]);
    // What was waited for by other equipment counts for nothing: the way begins anew, and so it does once more.
    assert_eq!(all(&mut live, &own), [45_000]);
    assert_eq!(all(&mut live, &later), [90_000]);
    assert_eq!(all(&mut live, &later), [] as [u64; 0], "it was gone to its end");
}

#[test]
fn a_way_of_which_a_part_was_gone_by_other_equipment_begins_anew() {
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = waiting_by(&mut journal, RIG, STEPS);
    say(&mut live, &Input::Stop("rain".to_owned()), START);
    let (own, later) = (of(live.walk(), RIG), of(live.walk(), &rig("after: 45 s", "after: 90 s")));
    // The record knows that the supply was just turned off.
    let (_, wait) = gone(&mut live, &own).expect("a step");
    assert_eq!(wait, Some(45_000));
    let first = next(live.walk(), later.ground.as_ref(), START);
    assert!(matches!(&first, Next::Act { act, .. } if act == "Turn the switch to 0."), "{first:?}");
    assert_eq!(all(&mut live, &later), [90_000]);
}

/// Figures, and what work and rules ask of people, the walk takes from its own equipment.
#[test]
fn another_figure_or_another_demand_shuts_a_walk_that_uses_it() {
    let demands = "wear: { gloves: Gloves }\nwork: { touch: { requires: { supply: isolated } } }\nactions:";
    let own = rig("actions:", demands);
    let steps =
        STEPS.replace("do: Work. }", "do: Work., work: touch }").replace("technician: 1", "technician: 2");
    let mut journal = Journal::in_memory().expect("a journal");
    let live = waiting_by(&mut journal, &own, &steps);
    let now = |from: &str, to: &str| {
        assert_eq!(own.matches(from).count(), 1, "{from}");
        let now = library(&own.replace(from, to), &steps);
        judged(live.walk(), &now, &check::Budget { boxes: 100_000, go_on: &|| true })
    };
    let says = "The equipment as it stands now says otherwise than this walk goes by: ";
    let touch = "touch: { requires: { supply: isolated }";
    for (from, to, what) in [
        (touch, "touch: { requires: { supply: isolated }, wear: [gloves]", "work touch"),
        (touch, "touch: { requires: { supply: isolated }, people: 2", "work touch"),
        (
            "actions:",
            "never: { odd: { when: { supply: live, charge: present }, hazard: harm, released_by: technician } }\nactions:",
            "rule odd",
        ),
    ] {
        assert_eq!(why(&now(from, to)), format!("{says}{what}."), "{to}");
    }
    let worded = now("wear: { gloves: Gloves }", "wear: { gloves: Thick gloves }");
    assert_eq!(why(&worded), "");
}
