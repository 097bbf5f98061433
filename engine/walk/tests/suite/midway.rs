//! Hands come anew to an act that was begun, or taken back: what it relies on is looked at again, be it what the act changes.

use super::rig::{SECOND, START, gate, put_on_record, refused, resume, say, started};
use journal::Journal;
use walk::{Event, Input, LiveWalk, Look, Stage};

fn journal() -> Journal {
    Journal::in_memory().expect("a journal")
}

/// Somebody else takes the walk up, and says whether the act had been begun.
fn taken_up(live: &mut LiveWalk<'_>, begun: bool, now: i64) {
    say(live, &resume(SECOND), now);
    let event = say(live, &Input::Look(if begun { Look::Yes } else { Look::No }), now);
    assert!(matches!(event, Event::ActBegun { yes, .. } if yes == begun), "{event:?}");
}

/// Everything that is asked is answered by yes; what it was.
fn all_yes(live: &mut LiveWalk<'_>) -> Vec<String> {
    let mut asked = Vec::new();
    while matches!(live.walk().stage(), Stage::Gate { .. }) {
        asked.push(gate(live));
        say(live, &Input::Look(Look::Yes), START);
    }
    asked
}

#[test]
fn what_an_act_needs_is_looked_at_though_it_changes_it_itself() {
    let acts = [
        "{ id: pull, requires: { supply: isolated }, do: Pull., leaves: { bowl: drained }, disturbs: [supply] }",
        "{ id: pull, requires: { supply: isolated }, do: Pull., leaves: { bowl: drained, supply: live } }",
    ];
    for act in acts {
        for begun in [true, false] {
            let mut journal = journal();
            let mut live = started(&mut journal, "{ supply: isolated }", &format!("  - {act}\n"));
            taken_up(&mut live, begun, START);
            assert_eq!(all_yes(&mut live), ["supply isolated"], "{act}");
            assert!(matches!(live.walk().stage(), Stage::Act));
        }
    }
}

/// What the act had changed already is put right first: it is done from its beginning.
#[test]
fn what_is_not_as_before_the_act_is_put_right() {
    let steps = "  - { id: open, requires: { supply: live, guard: fitted }, do: Open., leaves: { guard: removed } }\n";
    let mut journal = journal();
    let mut live = started(&mut journal, "{ supply: live }", steps);
    taken_up(&mut live, true, START);
    say(&mut live, &Input::Look(Look::Yes), START);
    assert_eq!(gate(&live), "guard fitted");
    say(&mut live, &Input::Look(Look::No), START);
    let Stage::Shut { offers, .. } = live.walk().stage() else { panic!("{:?}", live.walk().stage()) };
    assert_eq!(offers, ["refit"]);
    say(&mut live, &Input::Restored("refit".to_owned()), START);
    say(&mut live, &Input::Look(Look::Yes), START);
    assert!(matches!(live.walk().stage(), Stage::Act));
}

/// What nobody sees is waited for in full before the act goes on, though the act ends it.
#[test]
fn what_nobody_sees_is_waited_for_in_the_middle_of_an_act() {
    let steps = "  - { id: off, do: Turn it off., leaves: { supply: isolated } }\n  \
                 - { id: settle, wait: { for: 45 s, why: The charge goes. } }\n  \
                 - { id: touch, requires: { charge: gone }, do: Touch it and turn it on., leaves: { supply: live } }\n";
    for begun in [true, false] {
        let mut journal = journal();
        let mut live = started(&mut journal, "{ supply: live }", steps);
        say(&mut live, &Input::Done, START);
        // 45 s is what the rig's charge settles in (invented).
        let now = START + 45_000;
        say(&mut live, &Input::TimerOver, now);
        assert!(matches!(live.walk().stage(), Stage::Act), "{:?}", live.walk().stage());
        taken_up(&mut live, begun, now);
        let stage = live.walk().stage();
        assert!(matches!(stage, Stage::Settle { .. }), "begun {begun}: {stage:?}");
    }
}

/// A rule hangs on what a later part of the act makes so: before the first part it is looked at.
#[test]
fn what_keeps_the_first_part_of_an_act_from_breaking_a_rule_is_looked_at() {
    let steps = "  - { id: run, do: Close and run., requires: { hatch: shut }, leaves: { motor: running, hatch: shut } }\n";
    let mut journal = journal();
    let mut live = started(&mut journal, "{ hatch: shut }", steps);
    taken_up(&mut live, true, START);
    assert_eq!(all_yes(&mut live), ["hatch shut"]);
}

/// An act that was said to be done is taken back: it may have changed what it needs.
#[test]
fn an_act_taken_back_is_not_done_again_on_what_it_may_have_ended() {
    let steps = "  - { id: pull, requires: { supply: isolated, bowl: full }, do: Pull., leaves: { supply: live } }\n  \
                 - { id: last, do: Go on. }\n";
    let mut journal = journal();
    let mut live = started(&mut journal, "{ supply: isolated, bowl: full }", steps);
    say(&mut live, &Input::Done, START);
    say(&mut live, &Input::TakeBack, START);
    // What it does not touch is as it was.
    assert_eq!(all_yes(&mut live), ["supply isolated"]);
    assert!(matches!(live.walk().stage(), Stage::Act));
    assert_eq!(live.walk().node().path, "pull");
}

/// An earlier program went on with an act that was begun without these looks: what it recorded stands.
#[test]
fn an_act_on_record_behind_fewer_looks_is_done() {
    let steps = "  - { id: pull, requires: { supply: isolated, bowl: full }, do: Pull., leaves: { supply: live } }\n  \
                 - { id: last, do: Go on. }\n";
    let mut journal = journal();
    let mut live = started(&mut journal, "{ supply: isolated, bowl: full }", steps);
    taken_up(&mut live, true, START);
    drop(live);
    put_on_record(&mut journal, &Event::Done { step: "pull".to_owned() }, START);
    let live = walk::resume(&mut journal, "one").expect("it reads");
    assert_eq!(live.walk().node().path, "last");
    assert!(!matches!(live.walk().stage(), Stage::Shut { .. }), "{:?}", live.walk().stage());
}

/// An act that was done to its end and not ticked would be found otherwise than it needs: work goes on after it.
#[test]
fn an_act_that_had_been_done_to_its_end_is_gone_on_from() {
    let steps = "  - { id: open, requires: { supply: live, guard: fitted }, do: Open., leaves: { guard: removed } }\n  \
                 - { id: look, requires: { guard: removed }, do: Look. }\n";
    for (finished, asked) in [(true, "guard removed"), (false, "supply live")] {
        let mut journal = journal();
        let mut live = started(&mut journal, "{ supply: live }", steps);
        say(&mut live, &resume(SECOND), START);
        refused(&mut live, &Input::Done, START);
        let event = say(&mut live, &if finished { Input::WasDone } else { Input::Look(Look::Yes) }, START);
        assert!(matches!(event, Event::ActBegun { finished: of, .. } if of == finished), "{event:?}");
        assert_eq!(gate(&live), asked, "what is relied on after it, or by it");
        say(&mut live, &Input::Look(Look::Yes), START);
        let step = if finished { "look" } else { "open" };
        assert!(live.walk().node().path.ends_with(step), "{}", live.walk().node().path);
        drop(live);
        let live = walk::resume(&mut journal, "one").expect("it is there");
        assert!(live.walk().node().path.ends_with(step), "by its records it is there, too");
    }
}

/// What nobody sees is waited for in full before what comes after the act.
#[test]
fn after_an_act_that_had_been_done_time_begins_anew() {
    let touch = |id: &str| format!("  - {{ id: {id}, requires: {{ charge: gone }}, do: Touch it. }}\n");
    let steps = "  - { id: off, do: Turn it off., leaves: { supply: isolated } }\n  \
                 - { id: settle, wait: { for: 45 s, why: The charge goes. } }\n";
    let mut journal = journal();
    let mut live =
        started(&mut journal, "{ supply: live }", &format!("{steps}{}{}", touch("touch"), touch("more")));
    say(&mut live, &Input::Done, START);
    let now = START + 45_000;
    say(&mut live, &Input::TimerOver, now);
    say(&mut live, &resume(SECOND), now);
    say(&mut live, &Input::WasDone, now);
    assert_eq!(live.walk().node().path, "more");
    assert!(matches!(live.walk().stage(), Stage::Settle { .. }), "{:?}", live.walk().stage());
    say(&mut live, &Input::TimerOver, now + 45_000);
    // Once a gate was shut before it nobody can have done it to its end.
    say(&mut live, &resume(SECOND), now + 45_000);
    say(&mut live, &Input::Look(Look::Yes), now + 45_000);
    say(&mut live, &resume(SECOND), now + 45_000);
    refused(&mut live, &Input::WasDone, now + 45_000);
}

/// When it was done nobody knows: where what it needs was looked at too long ago by now, it counts as begun.
#[test]
fn what_an_act_that_had_been_done_needs_must_not_have_grown_old() {
    let steps = "  - { id: open, requires: { supply: live }, do: Open., leaves: { bowl: drained } }\n";
    let mut journal = journal();
    let mut live = started(&mut journal, "{ supply: live }", steps);
    let now = START + 15 * 60_000 + 1;
    say(&mut live, &resume(SECOND), now);
    let refusal = refused(&mut live, &Input::WasDone, now);
    assert!(refusal.reason.contains("too long ago"), "{refusal}");
}
