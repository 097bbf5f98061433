//! Looks and what they decide: taking up again, looks that are too old, before done, surprises.

use super::rig::{PERSON, SECOND, START, begun, gate, put_on_record, refused, resume, say, started};
use journal::Journal;
use walk::{Because, Clock, Ending, Event, Heading, Input, LiveWalk, Look, Stage, Status};

fn journal() -> Journal {
    Journal::in_memory().expect("a journal")
}

fn stands(live: &LiveWalk<'_>) -> (Status, Heading) {
    (live.walk().status(), live.walk().stage().heading())
}

const MINUTE: i64 = 60_000;

/// A procedure that relies on the supply and the guard.
const RELYING: &str = "  - { id: act, requires: { supply: live, guard: fitted }, do: Act. }\n";

#[test]
fn everything_relied_on_is_asked_again_after_any_pause_a_handover_or_a_clock_that_went_back() {
    let away = |person: &str, millis: i64, paused: bool| {
        let mut journal = journal();
        let mut live = started(&mut journal, "{ supply: live }", RELYING);
        if paused {
            say(&mut live, &Input::Pause, START);
            assert_eq!(stands(&live), (Status::Interrupted, Heading::Step));
            assert_eq!(refused(&mut live, &Input::Done, START).reason, "The walk is paused");
            assert_eq!(refused(&mut live, &Input::Pause, START).reason, "The walk is paused");
            say(&mut live, &Input::Note("Rain.".to_owned()), START);
        }
        assert_eq!(refused(&mut live, &resume(" "), START).reason, "Nobody is named");
        say(&mut live, &resume(person), START + millis);
        let mut asked = Vec::new();
        if matches!(live.walk().stage(), Stage::BegunDoubted) {
            assert!(refused(&mut live, &Input::Done, START + millis).reason.contains("had been begun"));
            say(&mut live, &Input::Look(Look::No), START + millis);
        }
        while matches!(live.walk().stage(), Stage::Gate { because: Because::TakenUp, .. }) {
            asked.push(gate(&live));
            say(&mut live, &Input::Look(Look::Yes), START + millis);
        }
        assert_eq!(live.walk().person(), person);
        asked
    };
    let everything = ["supply live", "guard fitted"];
    assert_eq!(away(PERSON, 0, true), everything);
    assert_eq!(away(PERSON, 15 * MINUTE, true), everything);
    assert_eq!(away(" TOMAS REEVE ".trim(), 1_000, true), everything, "the same person");
    assert_eq!(away(SECOND, 1_000, true), everything);
    assert_eq!(away(PERSON, -1, true), everything);
    assert_eq!(away(PERSON, 0, false), everything, "nobody announced it");
}

/// Nobody can say what came and went in between: the wait begins anew with whoever goes on.
#[test]
fn no_wait_runs_through_a_pause() {
    let steps = "  - { id: off, do: Turn it off., leaves: { supply: isolated } }\n  \
                 - { id: rest, wait: { for: 45 s } }\n  \
                 - { id: work, requires: { charge: gone }, do: Work. }\n";
    let mut journal = journal();
    let mut live = started(&mut journal, "{ supply: live }", steps);
    say(&mut live, &Input::Done, START);
    say(&mut live, &Input::Pause, START + 10_000);
    let again = START + 60_000;
    say(&mut live, &resume(PERSON), again);
    let clock = Clock::Running { since_ms: again, millis: 45_000 };
    assert!(
        matches!(live.walk().stage(), Stage::Wait { clock: of, .. } if of == clock),
        "{:?}",
        live.walk().stage()
    );
    refused(&mut live, &Input::TimerOver, again + 44_999);
    say(&mut live, &Input::TimerOver, again + 45_000);
    // Behind the wait it is not believed through a pause either.
    say(&mut live, &Input::Pause, again + 46_000);
    say(&mut live, &resume(PERSON), again + 46_001);
    say(&mut live, &Input::Look(Look::No), again + 46_001);
    assert!(matches!(live.walk().stage(), Stage::Settle { millis: 45_000, .. }), "{:?}", live.walk().stage());
}

/// By the clock alone: what was looked at longer ago than it lapses is asked before the step that relies on it.
#[test]
fn a_look_that_is_too_old_is_asked_again_and_a_no_is_a_surprise() {
    let steps = "  - { id: long, do: Take your time. }\n  \
                 - { id: act, requires: { supply: live, guard: fitted }, do: Act. }\n";
    for (minutes, asked) in [(15, false), (16, true)] {
        let mut journal = journal();
        let mut live = started(&mut journal, "{ supply: live }", steps);
        let now = START + minutes * MINUTE;
        say(&mut live, &Input::Done, now);
        assert_eq!(matches!(live.walk().stage(), Stage::Gate { because: Because::Lapsed, of: 1, .. }), asked);
        if asked {
            assert_eq!(gate(&live), "supply live");
            let event = say(&mut live, &Input::Look(Look::No), now);
            let Event::Seen { recorded, .. } = event else { panic!("{event:?}") };
            assert_eq!(recorded, ["live"]);
            let told = live.walk().surprise().expect("it is told");
            assert_eq!(
                told,
                "The supply is isolated, though by the record it was live. What is seen counts."
            );
            assert!(matches!(live.walk().stage(), Stage::Shut { may_look: true, .. }));
            say(&mut live, &Input::Look(Look::Yes), now);
        }
        assert!(matches!(live.walk().stage(), Stage::Act));
    }
}

/// The clock is read when the step is answered, not when it was shown.
#[test]
fn a_look_that_grew_old_while_the_step_was_shown_is_asked_again() {
    let act = "{ id: act, requires: { supply: live }, do: Act. }";
    let look = "{ id: act, requires: { supply: live }, confirm: { bowl: full }, otherwise: stop }";
    let ask = "{ id: act, requires: { supply: live }, ask: Well?, answers: { well: { shows: { bowl: full }, then: last }, \
               ill: { shows: { bowl: drained }, then: stop } } }";
    let read = "{ id: act, requires: { supply: live }, otherwise: stop, \
                measure: { what: the voltage, instrument: gauge, at_most: 5 V } }";
    let cases = [
        (act, Input::Done),
        (look, Input::Look(Look::Yes)),
        (ask, Input::Answer("well".to_owned())),
        (read, Input::Reading("1 V".to_owned())),
    ];
    for (step, answer) in cases {
        for (minutes, is_old) in [(15, false), (16, true)] {
            let mut journal = journal();
            let steps = format!("  - {step}\n  - {{ id: last, do: Go on. }}\n");
            let mut live = started(&mut journal, "{ supply: live }", &steps);
            let now = START + minutes * MINUTE;
            let position = live.walk().position();
            if is_old {
                let Err(walk::Error::Refused(refusal)) = live.answer(&answer, now) else {
                    panic!("{answer:?} was taken")
                };
                assert_eq!(refusal.reason, "Looked at too long ago by now: the supply");
                // Whoever answered the step does not answer the look with that.
                assert_eq!(live.walk().position(), position + 1);
                assert_eq!(gate(&live), "supply live");
                assert!(matches!(live.walk().stage(), Stage::Gate { because: Because::Lapsed, .. }));
                drop(live);
                live = walk::resume(&mut journal, "one").expect("it reads");
                assert_eq!(gate(&live), "supply live");
                say(&mut live, &Input::Look(Look::Yes), now);
            }
            assert_eq!(live.walk().node().path, "act");
            say(&mut live, &answer, now);
            assert_eq!(live.walk().node().path, "last", "{step}");
        }
    }
}

/// Somebody said that the act is done: while something is looked at first it is under way, for a plan, for a second answer to be
/// taken back, and for whoever comes to it.
#[test]
fn an_act_that_was_said_to_be_done_too_late_is_under_way() {
    let steps = "  - { id: first, do: Begin. }\n  \
                 - { id: act, requires: { supply: live }, do: Drain., leaves: { bowl: drained } }\n  \
                 - { id: last, do: Go on. }\n";
    let mut journal = journal();
    let mut live = started(&mut journal, "{ supply: live, bowl: full }", steps);
    say(&mut live, &Input::Done, START);
    let may_be = |walk: &walk::Walk| {
        let layout = &walk.machine().layout;
        let bowl = layout.find("bowl").expect("a condition");
        let all = walk.possible().iter().fold(0, |all, state| all | state.bits.field(layout, bowl));
        layout.words_of(bowl, all).join(", ")
    };
    let now = START + 16 * MINUTE;
    live.answer(&Input::Done, now).expect_err("too late");
    assert_eq!(may_be(live.walk()), "full, drained");
    assert_eq!(live.walk().can_take_back(), None, "the step before is over");
    assert_eq!(may_be(&live.walk().as_found()), "full, drained");
    say(&mut live, &resume(SECOND), now);
    assert!(matches!(live.walk().stage(), Stage::BegunDoubted), "{:?}", live.walk().stage());
    say(&mut live, &Input::Look(Look::Yes), now);
    assert_eq!(may_be(live.walk()), "full, drained");
    say(&mut live, &resume(PERSON), now);
    assert!(matches!(live.walk().stage(), Stage::BegunDoubted), "in the gate of the one before, too");
}

/// What the act changes itself nobody can look at as it was; and what an earlier program took stands.
#[test]
fn what_an_act_changed_is_not_asked_for_as_it_was_before() {
    let steps = "  - { id: off, requires: { supply: live }, do: Turn it off., leaves: { supply: isolated } }\n  \
                 - { id: act, requires: { supply: isolated }, do: Act. }\n  - { id: last, do: Go on. }\n";
    let mut journal = journal();
    let mut live = started(&mut journal, "{ supply: live }", steps);
    let now = START + 16 * MINUTE;
    say(&mut live, &Input::Done, now);
    assert_eq!(live.walk().node().path, "act");
    drop(live);
    put_on_record(&mut journal, &Event::Done { step: "act".to_owned() }, now + 16 * MINUTE);
    let live = walk::resume(&mut journal, "one").expect("it reads");
    assert_eq!(live.walk().node().path, "last");
}

/// What an act wrote is looked at even where nobody promised it; "no" leaves it shut.
#[test]
fn before_done_what_nobody_promised_is_looked_at_too() {
    let steps = "  - { id: drain, do: Drain., leaves: { bowl: drained } }\n";
    let mut journal = journal();
    let mut live = started(&mut journal, "{ supply: live }", steps);
    say(&mut live, &Input::Done, START);
    assert!(matches!(live.walk().stage(), Stage::Gate { because: Because::BeforeDone, of: 1, .. }));
    assert_eq!(gate(&live), "bowl drained");
    say(&mut live, &Input::Look(Look::No), START);
    assert!(matches!(live.walk().stage(), Stage::Shut { may_look: true, .. }));
    say(&mut live, &Input::Look(Look::Yes), START);
    assert!(matches!(live.walk().stage(), Stage::Ended(Ending::Completed)));
}

/// Nothing is completed on belief alone: what is promised and was written since it was last looked at is looked at.
#[test]
fn before_done_what_was_written_is_looked_at_and_can_be_put_right_once() {
    let steps = "  - { id: open, do: Open., leaves: { guard: removed } }\n  \
                 - { id: close, do: Close., leaves: { guard: fitted } }\n";
    let mut journal = journal();
    let mut live = started(&mut journal, "{ supply: live }", steps);
    say(&mut live, &Input::Done, START);
    say(&mut live, &Input::Done, START);
    assert!(matches!(live.walk().stage(), Stage::Gate { because: Because::BeforeDone, of: 1, .. }));
    assert_eq!(
        (gate(&live), stands(&live)),
        ("guard fitted".to_owned(), (Status::InProgress, Heading::BeforeDone))
    );
    say(&mut live, &Input::Look(Look::No), START);
    let Stage::Shut { offers, may_look: true, .. } = live.walk().stage() else { panic!() };
    assert_eq!(offers, ["refit"]);
    let event = say(&mut live, &Input::Restored("refit".to_owned()), START);
    assert!(matches!(event, Event::Restored { .. }), "{event:?}");
    assert!(matches!(live.walk().stage(), Stage::Gate { because: Because::BeforeDone, .. }), "the same look");
    say(&mut live, &Input::Look(Look::Yes), START);
    assert!(matches!(live.walk().stage(), Stage::Ended(Ending::Completed)));
}

#[test]
fn what_was_put_right_and_is_still_not_so_leaves_only_a_stop() {
    let steps = "  - { id: open, do: Open., leaves: { guard: removed } }\n  \
                 - { id: close, do: Close., leaves: { guard: fitted } }\n";
    let mut journal = journal();
    let mut live = started(&mut journal, "{ supply: live }", steps);
    say(&mut live, &Input::Done, START);
    say(&mut live, &Input::Done, START);
    say(&mut live, &Input::Look(Look::CannotTell), START);
    say(&mut live, &Input::Restored("refit".to_owned()), START);
    say(&mut live, &Input::Look(Look::No), START);
    let Stage::Shut { offers, may_look: false, .. } = live.walk().stage() else { panic!() };
    assert!(offers.is_empty());
    refused(&mut live, &Input::Look(Look::Yes), START);
    assert_eq!(refused(&mut live, &Input::Restored("refit".to_owned()), START).opens, "Stop work");
    say(&mut live, &Input::Stop("the guard does not hold".to_owned()), START);
    assert_eq!(live.walk().status(), Status::Stopped);
}

/// What no act of the procedure has written stays as it was found: nothing would put it back before the end.
#[test]
fn a_gate_offers_nothing_that_leaves_otherwise_than_is_usual_what_is_untouched() {
    let offers = |steps: &str, upto: &str| {
        let mut journal = journal();
        let mut live = begun(&mut journal, "{ valve: open }", steps);
        say(&mut live, &Input::Variant("small".to_owned()), START);
        while live.walk().node().path != upto {
            let input =
                if matches!(live.walk().stage(), Stage::Act) { Input::Done } else { Input::Look(Look::Yes) };
            say(&mut live, &input, START);
        }
        if upto != "look" {
            say(&mut live, &resume(SECOND), START);
            say(&mut live, &Input::Look(Look::No), START);
        }
        say(&mut live, &Input::Look(Look::No), START);
        let Stage::Shut { offers, .. } = live.walk().stage() else { panic!("{:?}", live.walk().stage()) };
        offers
    };
    let steps = "  - { id: look, requires: { valve: open }, do: Look. }\n";
    assert!(offers(steps, "look").is_empty(), "it would stay open");
    let steps = "  - { id: open, do: Open it., leaves: { valve: open } }\n  \
                 - { id: use, requires: { valve: open }, do: Use it. }\n  \
                 - { id: shut, do: Shut it., leaves: { valve: shut } }\n";
    assert_eq!(offers(steps, "use"), ["open-valve"], "the procedure shuts what it opened");
}

/// A look that contradicts the record is taken; the others of its page are still ticked.
#[test]
fn a_surprise_is_told_and_the_rest_of_the_page_is_still_ticked() {
    let steps = "  - { id: off, do: Turn it off., leaves: { supply: isolated } }\n  \
                 - { id: look, confirm: { supply: isolated, bowl: drained }, otherwise: stop }\n";
    let mut journal = journal();
    let mut live = started(&mut journal, "{ supply: live }", steps);
    say(&mut live, &Input::Done, START);
    let event = say(&mut live, &Input::Look(Look::No), START);
    let Event::Seen { recorded, because, .. } = event else { panic!("{event:?}") };
    assert_eq!((recorded, because), (vec!["isolated".to_owned()], Because::Step));
    let told = live.walk().surprise().expect("it is told");
    assert_eq!(told, "The supply is live, though by the record it was isolated. What is seen counts.");
    let Stage::Look(tick) = live.walk().stage() else { panic!() };
    assert_eq!((tick.number, tick.of, tick.failed), (2, 2, true));
    say(&mut live, &Input::Look(Look::Yes), START);
    assert!(live.walk().surprise().is_none());
    assert!(matches!(live.walk().stage(), Stage::Ended(Ending::Stopped)));
}

/// An answer that shows what the record ruled out is taken, and so is that nobody can tell: work stops then.
#[test]
fn a_question_takes_every_answer_and_that_nobody_can_tell() {
    let steps = "  - { id: off, do: Turn it off., leaves: { supply: isolated } }\n  \
                 - { id: ask, ask: Is it live?, answers: { yes: { shows: { supply: live }, then: stop }, \
                 no: { shows: { supply: isolated }, then: done } } }\n";
    let mut journal = journal();
    let mut live = started(&mut journal, "{ supply: live }", steps);
    say(&mut live, &Input::Done, START);
    let event = say(&mut live, &Input::Answer("yes".to_owned()), START);
    let Event::Answered { recorded, .. } = event else { panic!("{event:?}") };
    assert_eq!(recorded, ["the supply was isolated"]);
    assert!(matches!(live.walk().stage(), Stage::Ended(Ending::Stopped)));

    let mut journal = self::journal();
    let mut live = started(&mut journal, "{ supply: live }", steps);
    say(&mut live, &Input::Done, START);
    let event = say(&mut live, &Input::CannotTell, START);
    assert!(matches!(event, Event::CannotTell { .. }));
    assert!(matches!(live.walk().stage(), Stage::Ended(Ending::Stopped)));
}

/// Whoever takes work up after a second no is not asked a third time.
#[test]
fn a_second_no_stays_one_whoever_takes_work_up() {
    let steps = "  - { id: act, requires: { supply: live }, do: Act. }\n";
    for before_start in [true, false] {
        let mut journal = journal();
        let mut live = begun(&mut journal, "{ supply: live }", steps);
        say(&mut live, &Input::Variant("small".to_owned()), START);
        if !before_start {
            say(&mut live, &Input::Look(Look::Yes), START);
            say(&mut live, &resume(SECOND), START);
            say(&mut live, &Input::Look(Look::No), START);
        }
        say(&mut live, &Input::Look(Look::No), START);
        say(&mut live, &Input::Look(Look::No), START);
        say(&mut live, &resume(PERSON), START);
        assert!(matches!(live.walk().stage(), Stage::Shut { may_look: false, .. }), "{before_start}");
        refused(&mut live, &Input::Look(Look::Yes), START);
    }
}
