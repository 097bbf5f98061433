//! Each stage: what is asked there, what is taken, how the walk stands and what heads the page.

use super::rig::{OFFICER, PERSON, SECOND, START, begun, gate, refused, resume, say, sign, started};
use journal::Journal;
use walk::{Because, Clock, Ending, Event, Heading, Input, LiveWalk, Look, Stage, Status};

fn journal() -> Journal {
    Journal::in_memory().expect("a journal")
}

fn stands(live: &LiveWalk<'_>) -> (Status, Heading) {
    (live.walk().status(), live.walk().stage().heading())
}

fn deviate(reason: &str, person: &str) -> Input {
    Input::Deviate { reason: reason.to_owned(), person: person.to_owned(), role: "safety-officer".to_owned() }
}

const BEFORE: (Status, Heading) = (Status::NotStarted, Heading::BeforeStart);
const AT_STEP: (Status, Heading) = (Status::InProgress, Heading::Step);

#[test]
fn before_step_one_the_variant_and_each_condition_relied_on_are_asked_alone() {
    let mut journal = journal();
    let steps = "  - { id: act, requires: { guard: fitted }, do: Act. }\n";
    let mut live = begun(&mut journal, "{ supply: live }", steps);
    assert!(matches!(live.walk().stage(), Stage::Variant(_)));
    assert_eq!(stands(&live), BEFORE);
    assert_eq!(refused(&mut live, &Input::Look(Look::Yes), START).reason, "The variant is not known");
    assert_eq!(refused(&mut live, &Input::Done, START).reason, "The variant is not known");
    assert!(refused(&mut live, &Input::Variant("wide".to_owned()), START).opens.contains("small, large"));
    assert!(refused(&mut live, &sign(SECOND), START).reason.contains("to be confirmed first"));
    say(&mut live, &Input::Variant("large".to_owned()), START);
    assert_eq!(live.walk().variants().into_values().collect::<Vec<_>>(), ["large"]);

    for (number, asked) in [(1, "supply live"), (2, "guard fitted")] {
        let Stage::Gate { because, number: at, of, .. } = live.walk().stage() else { panic!() };
        assert_eq!((because, at, of), (Because::BeforeStart, number, 2));
        assert_eq!((gate(&live), stands(&live)), (asked.to_owned(), BEFORE));
        assert!(refused(&mut live, &Input::Done, START).reason.contains("to be confirmed first"));
        let variant = refused(&mut live, &Input::Variant("small".to_owned()), START);
        assert_eq!(variant.reason, "No variant is asked for");
        say(&mut live, &Input::Look(Look::Yes), START);
    }
    assert!(matches!(live.walk().stage(), Stage::Act));
    assert_eq!(stands(&live), AT_STEP);
    say(&mut live, &Input::Done, START);
    assert!(matches!(live.walk().stage(), Stage::Ended(Ending::Completed)));
    assert!(refused(&mut live, &Input::Note("late".to_owned()), START).reason.contains("completed"));
}

/// An act done otherwise: whatever the step leaves is asked at once, and counts only once it was seen.
#[test]
fn after_a_deviation_everything_that_the_step_leaves_is_asked() {
    let mut journal = journal();
    let steps = "  - { id: off, do: Turn it off., leaves: { supply: isolated } }\n  \
                 - { id: next, requires: { supply: isolated }, do: Go on., leaves: { bowl: drained } }\n";
    let mut live = started(&mut journal, "{ supply: live }", steps);
    assert!(live.walk().may_deviate());
    assert_eq!(refused(&mut live, &deviate("  ", OFFICER), START).reason, "A deviation has a reason");
    let own = refused(&mut live, &deviate("stuck", &PERSON.to_uppercase()), START);
    assert!(own.reason.contains("somebody else must allow"), "{own}");
    say(&mut live, &deviate("by hand", OFFICER), START);
    assert!(matches!(live.walk().stage(), Stage::Gate { because: Because::Deviated, .. }));
    assert_eq!(gate(&live), "supply isolated", "and of the next act nothing, though it writes, too");
    assert_eq!(stands(&live), (Status::InProgress, Heading::ConfirmAgain));
    assert!(!live.walk().may_deviate());
    refused(&mut live, &deviate("again", OFFICER), START);
    refused(&mut live, &Input::Done, START);
    say(&mut live, &Input::Look(Look::Yes), START);
    assert_eq!(live.walk().node().path, "next");
    say(&mut live, &Input::Done, START);
    assert_eq!(gate(&live), "bowl drained");
    say(&mut live, &Input::Look(Look::Yes), START);
    assert!(matches!(live.walk().stage(), Stage::Ended(Ending::CompletedWithDeviation)));
    assert_eq!((live.walk().deviations(), live.walk().status().is_ended()), (1, true));
}

#[test]
fn a_wait_ends_to_the_millisecond_and_so_does_its_limit() {
    let steps = "  - { id: drain, wait: { for: 6 s, until: { bowl: drained }, limit: 30 s }, otherwise: stop }\n  \
                 - { id: next, do: Go on. }\n";
    for came in [true, false] {
        let mut journal = journal();
        let mut live = started(&mut journal, "{ supply: live, bowl: full }", steps);
        let since_ms = START;
        let Stage::Wait { millis: 6_000, clock, until: Some(_) } = live.walk().stage() else { panic!() };
        assert_eq!(clock, Clock::Running { since_ms, millis: 6_000 });
        assert_eq!(stands(&live), (Status::Waiting, Heading::Step));
        assert!(!live.walk().timer_has_run());
        for early in [Input::TimerOver, Input::Look(Look::Yes), Input::Done, Input::LimitReached] {
            let told = refused(&mut live, &early, START + 5_999);
            assert_eq!((&*told.reason, &*told.opens), ("The wait is not over", "1 s are left"), "{early:?}");
        }
        assert!(refused(&mut live, &Input::TimerOver, START - 1).reason.contains("backwards"));
        assert!(refused(&mut live, &Input::Look(Look::Yes), START - 1).opens.contains("backwards"));
        say(&mut live, &Input::TimerOver, START + 6_000);
        assert!(live.walk().timer_has_run());
        assert_eq!(stands(&live), AT_STEP);
        assert_eq!(refused(&mut live, &Input::StartTimer, START + 6_000).reason, "The time is over");
        assert_eq!(refused(&mut live, &Input::TimerOver, START + 6_000).reason, "No timer runs");
        assert!(refused(&mut live, &Input::Look(Look::No), START + 7_000).reason.contains("has not come"));
        let told = refused(&mut live, &Input::LimitReached, START + 29_999);
        assert!(
            told.reason == "The limit is not reached" && told.opens.starts_with("1 s are left"),
            "{told}"
        );
        if came {
            say(&mut live, &Input::Look(Look::Yes), START + 29_999);
            assert_eq!(live.walk().node().path, "next");
        } else {
            say(&mut live, &Input::LimitReached, START + 30_000);
            assert!(matches!(live.walk().stage(), Stage::Ended(Ending::Stopped)));
            assert_eq!(live.walk().status(), Status::Stopped);
        }
    }
}

#[test]
fn a_clock_that_went_back_starts_the_wait_again() {
    let mut journal = journal();
    let mut live = started(&mut journal, "{ supply: live }", "  - { id: rest, wait: { for: 6 s } }\n");
    say(&mut live, &Input::StartTimer, START - 60_000);
    refused(&mut live, &Input::TimerOver, START - 54_001);
    say(&mut live, &Input::TimerOver, START - 54_000);
    assert!(matches!(live.walk().stage(), Stage::Ended(Ending::Completed)));
}

/// What was done or seen waits for a second person. A handover in between asks for nothing that was so before the act, and
/// what the second person denies is open again.
#[test]
fn what_nobody_verified_yet_waits_and_may_be_denied() {
    let steps = |main: &str| {
        format!(
            "  - {{ id: check, requires: {{ supply: live }}, {main}, verified_by: second-person }}\n  \
             - {{ id: next, requires: {{ bowl: drained }}, do: Go on. }}\n"
        )
    };
    for (main, is_look) in [
        ("confirm: { bowl: drained }, otherwise: stop", true),
        ("do: Act., leaves: { bowl: drained }", false),
    ] {
        for verified in [true, false] {
            let mut journal = journal();
            let mut live = started(&mut journal, "{ supply: live, bowl: full }", &steps(main));
            say(&mut live, if is_look { &Input::Look(Look::Yes) } else { &Input::Done }, START);
            assert!(matches!(live.walk().stage(), Stage::Verification));
            assert_eq!(stands(&live), (Status::AwaitingVerification, Heading::Step));
            let held = refused(&mut live, &Input::Done, START);
            assert_eq!(held.reason, "The step awaits its verification");
            assert!(
                refused(&mut live, &sign(" tomas reeve "), START).reason.contains("must be somebody else")
            );
            assert_eq!(refused(&mut live, &sign(" "), START).reason, "Nobody is named");
            say(&mut live, &resume(SECOND), START + 1_000);
            // What an act left the second person looks at; of a look the rest relies on what was seen.
            if is_look {
                assert_eq!(gate(&live), "bowl drained");
                assert_eq!(live.walk().status(), Status::AwaitingVerification);
                say(&mut live, &Input::Look(Look::Yes), START + 1_000);
            }
            assert!(matches!(live.walk().stage(), Stage::Verification), "{:?}", live.walk().stage());
            assert!(
                refused(&mut live, &Input::Deny(PERSON.to_owned()), START).reason.contains("somebody else")
            );
            if verified {
                let event = say(&mut live, &sign(SECOND), START + 2_000);
                assert!(matches!(event, Event::Verified { .. }), "{event:?}");
                assert_eq!(live.walk().node().path, "next");
            } else {
                let event = say(&mut live, &Input::Deny(SECOND.to_owned()), START + 2_000);
                assert!(matches!(event, Event::NotVerified { .. }), "{event:?}");
                assert!(matches!(live.walk().stage(), Stage::Ended(Ending::Stopped)));
                let machine = live.walk().machine();
                let bowl = machine.layout.find("bowl").expect("a condition");
                let field = live.walk().record().bits.field(&machine.layout, bowl);
                assert_eq!(field, machine.layout.all(bowl), "nobody knows");
            }
        }
    }
}

/// An act that a second person denies leads where its step says.
#[test]
fn an_act_that_is_not_verified_goes_another_way() {
    let steps = "  - { id: drain, do: Drain it., leaves: { bowl: drained }, verified_by: second-person, otherwise: call }\n  \
                 - { id: next, do: Go on., then: done }\n  \
                 - { id: call, do: Call somebody. }\n";
    for (verified, path) in [(true, "next"), (false, "call")] {
        let mut journal = journal();
        let mut live = started(&mut journal, "{ supply: live, bowl: full }", steps);
        say(&mut live, &Input::Done, START);
        let says = if verified { sign(SECOND) } else { Input::Deny(SECOND.to_owned()) };
        say(&mut live, &says, START + 1_000);
        assert_eq!(live.walk().node().path, path);
    }
}

/// The charge cannot be looked at: after a lapse it is waited for, as long as it takes to settle.
#[test]
fn what_only_settles_is_waited_for_again() {
    let steps = "  - { id: off, do: Turn it off., leaves: { supply: isolated } }\n  \
                 - { id: rest, wait: { for: 45 s } }\n  \
                 - { id: work, requires: { supply: isolated, charge: gone }, do: Work. }\n";
    let mut journal = journal();
    let mut live = started(&mut journal, "{ supply: live }", steps);
    say(&mut live, &Input::Done, START);
    say(&mut live, &Input::TimerOver, START + 45_000);
    let now = START + 50_000;
    say(&mut live, &resume(PERSON), now);
    say(&mut live, &Input::Look(Look::No), now);
    let mut waited = false;
    while live.walk().node().path != "work" || !matches!(live.walk().stage(), Stage::Act) {
        match live.walk().stage() {
            Stage::Gate { .. } => drop(say(&mut live, &Input::Look(Look::Yes), now)),
            Stage::Settle { millis, clock, .. } => {
                assert_eq!((millis, clock), (45_000, Clock::Running { since_ms: now, millis: 45_000 }));
                assert_eq!(stands(&live), (Status::Waiting, Heading::WaitAgain));
                assert_eq!(refused(&mut live, &Input::Look(Look::Yes), now).reason, "The wait is not over");
                assert!(refused(&mut live, &sign(SECOND), now).reason.contains("to be confirmed first"));
                refused(&mut live, &Input::TimerOver, now + 44_999);
                say(&mut live, &Input::TimerOver, now + 45_000);
                waited = true;
            }
            other => panic!("{other:?}"),
        }
    }
    assert!(waited);
}

#[test]
fn a_hold_point_a_reading_a_question_and_items_take_their_own_answer_alone() {
    let steps = "  - { id: hold, hold: { released_by: second-person, check: Look. } }\n  \
                 - { id: read, measure: { what: the voltage, instrument: gauge, at_most: 5 V, retests: 1 }, otherwise: stop }\n  \
                 - { id: ask, ask: Is it so?, answers: { yes: items, no: stop } }\n  \
                 - { id: items, any_order: [ { id: left, do: Act left. }, { id: right, do: Act right. } ] }\n";
    let mut journal = journal();
    let mut live = started(&mut journal, "{ supply: live }", steps);
    assert_eq!(stands(&live), (Status::OnHold, Heading::Step));
    assert_eq!(refused(&mut live, &Input::Done, START).reason, "This is a hold point");
    assert_eq!(refused(&mut live, &Input::LimitReached, START).reason, "No limit runs here");
    assert_eq!(
        refused(&mut live, &deviate("why", OFFICER), START).reason,
        "Only an act can be done otherwise than written"
    );
    assert!(refused(&mut live, &sign(PERSON), START).reason.contains("must be somebody else"));
    let event = say(&mut live, &sign(" Anneke Voss "), START);
    let Event::Released { person, role, .. } = event else { panic!("{event:?}") };
    assert_eq!((&*person, &*role), (SECOND, "second-person"));

    assert!(matches!(live.walk().stage(), Stage::Measure { attempt: 1, attempts: 2 }));
    assert_eq!(refused(&mut live, &Input::Done, START).reason, "A reading is due");
    assert_eq!(refused(&mut live, &sign(SECOND), START).reason, "Nobody's signature is due here");
    let verdict = |live: &mut LiveWalk<'_>, text: &str| {
        let event = say(live, &Input::Reading(text.to_owned()), START);
        let Event::Reading { verdict, attempt, .. } = event else { panic!("{event:?}") };
        (verdict.words(), attempt)
    };
    // The instrument is uncertain by 0.5 V, so that 4.6 V may be more than 5 V.
    assert_eq!(verdict(&mut live, "4.6 V"), ("too close to tell", 1));
    assert!(matches!(live.walk().stage(), Stage::Measure { attempt: 2, attempts: 2 }));
    assert_eq!(verdict(&mut live, "4 V"), ("within", 2));

    assert!(matches!(live.walk().stage(), Stage::Ask));
    assert_eq!(refused(&mut live, &Input::Done, START).reason, "A question is asked");
    assert_eq!(refused(&mut live, &Input::Answer("maybe".to_owned()), START).opens, "Answer yes or no");
    assert!(refused(&mut live, &Input::Look(Look::Yes), START).reason.contains("yes or no would answer"));
    say(&mut live, &Input::Answer("yes".to_owned()), START);

    assert!(matches!(live.walk().stage(), Stage::Item));
    assert_eq!(refused(&mut live, &Input::Done, START).reason, "Items are still open");
    assert_eq!(refused(&mut live, &Input::Item("up".to_owned()), START).opens, "Choose one of left, right");
    say(&mut live, &Input::Item("right".to_owned()), START);
    assert_eq!(live.walk().node().path, "items/right");
    say(&mut live, &Input::Done, START);
    say(&mut live, &Input::Item("items/left".to_owned()), START);
    say(&mut live, &Input::Done, START);
    assert!(matches!(live.walk().stage(), Stage::Ended(Ending::Completed)));
}

/// What a gate keeps shut is told as what stands behind it; what was never put back is no gate, it was not proved.
#[test]
fn a_gate_before_a_hold_point_and_what_was_not_proved_before_the_end() {
    let steps = "  - { id: hold, requires: { supply: live }, hold: { released_by: second-person, check: Look. } }\n  \
                 - { id: open, do: Open., leaves: { guard: removed } }\n";
    let mut journal = journal();
    let mut live = started(&mut journal, "{ supply: live }", steps);
    say(&mut live, &resume(PERSON), START);
    assert_eq!((gate(&live), live.walk().status()), ("supply live".to_owned(), Status::OnHold));
    while matches!(live.walk().stage(), Stage::Gate { .. }) {
        say(&mut live, &Input::Look(Look::Yes), START);
    }
    say(&mut live, &sign(SECOND), START);
    say(&mut live, &Input::Done, START);
    while matches!(live.walk().stage(), Stage::Gate { because: Because::BeforeDone, .. }) {
        say(&mut live, &Input::Look(Look::Yes), START);
    }
    // The guard is handed on fitted, and by the record it is not.
    let Stage::Locked(why) = live.walk().stage() else { panic!("{:?}", live.walk().stage()) };
    assert!(why.contains("guard fitted"), "{why}");
    assert!(refused(&mut live, &Input::Done, START).opens.contains("Stop work"));
    assert!(!live.walk().status().is_ended());
}

#[test]
fn work_is_stopped_with_a_reason_from_any_stage_and_remarks_move_nothing() {
    let mut journal = journal();
    let mut live = begun(&mut journal, "{ supply: live }", "  - { id: act, do: Act. }\n");
    let position = live.walk().position();
    say(&mut live, &Input::Note("Dark.".to_owned()), START + 7);
    assert_eq!((live.walk().position(), live.walk().last_ms()), (position, START + 7));
    say(&mut live, &Input::Variant("small".to_owned()), START);
    assert_eq!(live.walk().position(), position + 1);
    assert_eq!(
        refused(&mut live, &Input::Stop(" ".to_owned()), START).reason,
        "Work is stopped with a reason"
    );
    say(&mut live, &Input::Stop(" A leak. ".to_owned()), START);
    assert_eq!(live.walk().stop_reason(), Some("A leak."));
    assert_eq!(live.walk().status(), Status::Stopped);
    assert_eq!(refused(&mut live, &Input::Done, START).opens, "Begin a new one");
}

/// Records that were written before verdicts had a type hold the same words.
#[test]
fn a_record_of_a_reading_is_read_as_it_was_written() {
    let text =
        r#"{"event":"reading","step":"read","reading":"4 V","attempt":1,"verdict":"too close to tell"}"#;
    let event: Event = serde_json::from_str(text).expect("a record");
    assert_eq!(serde_json::to_string(&event).expect("text"), text);
}
