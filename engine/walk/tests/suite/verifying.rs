//! Who may verify: nobody who did what is verified, or a part of it, whoever is at the walk by then.

use super::rig::{OFFICER, PERSON, SECOND, START, refused, resume, say, sign, started};
use journal::Journal;
use walk::{Input, LiveWalk, Look, Prompt, Stage};

fn journal() -> Journal {
    Journal::in_memory().expect("a journal")
}

/// Says yes to whatever taking up asks, but that nothing had been begun.
fn taken_up_by(live: &mut LiveWalk<'_>, person: &str) {
    say(live, &resume(person), START);
    loop {
        let answer = match live.walk().stage() {
            Stage::BegunDoubted => Look::No,
            Stage::Gate { .. } => Look::Yes,
            _ => return,
        };
        say(live, &Input::Look(answer), START);
    }
}

/// None of `did` may sign or deny; then one who may signs.
fn verified(live: &mut LiveWalk<'_>, did: &[&str], by: &str) {
    assert!(matches!(live.walk().stage(), Stage::Verification), "{:?}", live.walk().stage());
    for person in did {
        for input in [sign(person), Input::Deny(person.to_uppercase())] {
            let refusal = refused(live, &input, START);
            assert!(refusal.reason.contains("did a part of it"), "{refusal}");
        }
    }
    say(live, &sign(by), START);
}

const ACT: &str = "  - { id: drain, do: Drain the bowl., leaves: { bowl: drained }, verified_by: second-person }\n  \
                   - { id: next, do: Go on. }\n";

/// Who handed over did it all the same; who came did not.
#[test]
fn whoever_did_the_act_does_not_verify_it_after_handing_over() {
    let mut journal = journal();
    let mut live = started(&mut journal, "{ supply: live, bowl: full }", ACT);
    say(&mut live, &Input::Done, START);
    say(&mut live, &Input::Pause, START);
    taken_up_by(&mut live, SECOND);
    verified(&mut live, &[PERSON], SECOND);
    assert_eq!(live.walk().node().path, "next");
}

/// An act that had been begun was done by both; one that had not, by the second alone.
#[test]
fn whoever_began_the_act_does_not_verify_it() {
    for begun in [Look::Yes, Look::No] {
        let mut journal = journal();
        let mut live = started(&mut journal, "{ supply: live, bowl: full }", ACT);
        say(&mut live, &resume(SECOND), START);
        say(&mut live, &Input::Look(begun), START);
        while matches!(live.walk().stage(), Stage::Gate { .. }) {
            say(&mut live, &Input::Look(Look::Yes), START);
        }
        say(&mut live, &Input::Done, START);
        while matches!(live.walk().stage(), Stage::Gate { .. }) {
            say(&mut live, &Input::Look(Look::Yes), START);
        }
        match begun {
            Look::Yes => verified(&mut live, &[PERSON, SECOND], OFFICER),
            Look::No | Look::CannotTell => verified(&mut live, &[SECOND], PERSON),
        }
    }
}

#[test]
fn whoever_did_an_item_does_not_verify_the_block() {
    let steps = "  - { id: both, verified_by: second-person, any_order: [ { id: left, do: Act left. }, { id: right, do: Act right. } ] }\n";
    let mut journal = journal();
    let mut live = started(&mut journal, "{ supply: live }", steps);
    say(&mut live, &Input::Item("left".to_owned()), START);
    say(&mut live, &Input::Done, START);
    taken_up_by(&mut live, SECOND);
    say(&mut live, &Input::Item("right".to_owned()), START);
    say(&mut live, &Input::Done, START);
    verified(&mut live, &[PERSON, SECOND], OFFICER);
}

#[test]
fn of_a_look_of_two_conditions_each_looked_at_one() {
    let steps = "  - { id: look, confirm: { bowl: drained, guard: fitted }, otherwise: stop, verified_by: second-person }\n";
    let mut journal = journal();
    let mut live = started(&mut journal, "{ supply: live }", steps);
    say(&mut live, &Input::Look(Look::Yes), START);
    taken_up_by(&mut live, SECOND);
    say(&mut live, &Input::Look(Look::Yes), START);
    verified(&mut live, &[PERSON, SECOND], OFFICER);
}

/// What was verified is over: whoever did one round may verify the next, which somebody else does.
#[test]
fn who_did_an_earlier_round_may_verify_a_later_one() {
    let steps = "  - { id: again, repeat: { until: { bowl: drained }, at_most: 3, \
                 steps: [ { id: drain, do: Drain., leaves: { bowl: drained }, verified_by: second-person } ] }, otherwise: stop }\n";
    let mut journal = journal();
    let mut live = started(&mut journal, "{ supply: live, bowl: full }", steps);
    say(&mut live, &Input::Done, START);
    verified(&mut live, &[PERSON], SECOND);
    say(&mut live, &Input::Look(Look::No), START);
    taken_up_by(&mut live, SECOND);
    say(&mut live, &Input::Done, START);
    verified(&mut live, &[SECOND], PERSON);
}

/// A round is looked over as a whole: everybody who did any of it did a part.
#[test]
fn whoever_did_one_of_the_rounds_does_not_verify_them() {
    let steps = "  - { id: again, verified_by: second-person, repeat: { until: { bowl: drained }, at_most: 3, \
                 steps: [ { id: drain, do: Drain., leaves: { bowl: drained } } ] }, otherwise: stop }\n";
    let mut journal = journal();
    let mut live = started(&mut journal, "{ supply: live, bowl: full }", steps);
    say(&mut live, &Input::Done, START);
    say(&mut live, &Input::Look(Look::No), START);
    taken_up_by(&mut live, SECOND);
    say(&mut live, &Input::Done, START);
    say(&mut live, &Input::Look(Look::Yes), START);
    verified(&mut live, &[PERSON, SECOND], OFFICER);
}

/// A release is for the moment: interrupted before its act the same role releases that act once more, and never whoever does it.
#[test]
fn what_was_released_before_an_interruption_is_released_again() {
    let steps = "  - { id: release, hold: { released_by: safety-officer, check: Make sure that nobody is near. } }\n  \
                 - { id: quiet, do: Fetch the key. }\n  \
                 - { id: run, do: Turn it on., leaves: { motor: running } }\n  \
                 - { id: off, do: Turn it off., leaves: { motor: still } }\n";
    for by in [None, Some(PERSON), Some(OFFICER)] {
        let mut journal = journal();
        let mut live = started(&mut journal, "{ motor: still, hatch: open }", steps);
        assert!(matches!(live.walk().stage(), Stage::Hold), "{:?}", live.walk().stage());
        say(&mut live, &sign(OFFICER), START);
        if let Some(by) = by {
            taken_up_by(&mut live, by);
        }
        // What brings nothing about needs no release.
        assert!(matches!(live.walk().stage(), Stage::Act), "{:?}", live.walk().stage());
        say(&mut live, &Input::Done, START);
        if let Some(by) = by {
            assert!(matches!(live.walk().stage(), Stage::Hold), "{:?}", live.walk().stage());
            let Prompt::Sign { role, check: Some(check) } = live.prompt() else {
                panic!("{:?}", live.prompt())
            };
            assert_eq!(role, "safety officer");
            assert_eq!(
                check,
                "What was made sure of before the interruption is so still. Nobody stands at the rollers."
            );
            refused(&mut live, &Input::Done, START);
            assert!(refused(&mut live, &sign(by), START).reason.contains("does the work"));
            say(&mut live, &sign(if by == OFFICER { SECOND } else { OFFICER }), START);
            assert_eq!(live.walk().node().path, "run");
        }
        assert!(matches!(live.walk().stage(), Stage::Act), "{:?}", live.walk().stage());
        say(&mut live, &Input::Done, START);
        assert_eq!(live.walk().node().path, "off");
    }
}
