//! Pauses, handovers and ends without notice: what the rest relies on is asked again.

use super::driver::{Driver, PERSON, SECOND, start};
use crate::support::demo::PROCEDURES;
use journal::Journal;
use walk::{Because, Error, Event, Input, LiveWalk, Look, Prompt, Status};

/// Goes on until so many answers were given.
fn advance(live: &mut LiveWalk<'_>, driver: &mut Driver, answers: usize) -> bool {
    for _ in 0..answers {
        let Some(input) = driver.input(live) else { return false };
        driver.now_ms += 1_000;
        live.answer(&input, driver.now_ms).expect("taken");
    }
    !live.walk().status().is_ended() && live.walk().status() != Status::NotStarted
}

fn asked_again(live: &LiveWalk<'_>) -> bool {
    match live.prompt() {
        Prompt::Look(question) => question.because == Because::TakenUp,
        Prompt::Settle { .. } | Prompt::AsLeft { .. } => true,
        _ => false,
    }
}

#[test]
fn a_walk_ends_completed_wherever_it_was_interrupted() {
    let (mut interrupted, mut asked) = (0, 0);
    for procedure in PROCEDURES {
        for at in 1..200 {
            let mut journal = Journal::in_memory().expect("a journal");
            let mut driver = Driver::new();
            let mut live = start(&mut journal, procedure, &driver);
            if !advance(&mut live, &mut driver, at) {
                if live.walk().status().is_ended() {
                    break;
                }
                continue;
            }
            drop(live);
            let mut live = walk::resume(&mut journal, procedure).expect("it is there");
            let before = live.walk().record().clone();
            driver.now_ms += 2_000;
            live.answer(&Input::Resume { person: PERSON.to_owned() }, driver.now_ms).expect("taken");
            // Nothing else is taken before what is asked again is established.
            while asked_again(&live) || live.walk().is_gated() {
                match live.answer(&Input::Done, driver.now_ms) {
                    Err(Error::Refused(_)) => {}
                    other => panic!("{procedure} after {at}: {other:?}"),
                }
                asked += 1;
                let input = driver.input(&live).expect("a question");
                driver.now_ms += 1_000;
                live.answer(&input, driver.now_ms).expect("taken");
            }
            // The belief is again what the proof counts on.
            if live.walk().record().place == before.place {
                assert_eq!(live.walk().record().bits, before.bits, "{procedure} after {at}");
            }
            driver.finish(&mut live);
            assert_eq!(live.walk().status(), Status::Completed, "{procedure} after {at}");
            interrupted += 1;
        }
    }
    assert!(interrupted > 150 && asked > 1_000, "only {interrupted} places were tried, {asked} asked again");
}

#[test]
fn a_pause_keeps_nothing_that_was_confirmed_however_short() {
    for millis in [0, 1_000, 15 * 60_000] {
        let mut journal = Journal::in_memory().expect("a journal");
        let mut driver = Driver::new();
        let mut live = start(&mut journal, "strainer-clean", &driver);
        assert!(advance(&mut live, &mut driver, 20));
        live.answer(&Input::Pause, driver.now_ms).expect("paused");
        assert_eq!(live.walk().status(), Status::Interrupted);
        match live.answer(&Input::Done, driver.now_ms) {
            Err(Error::Refused(refusal)) => assert!(refusal.reason.contains("paused")),
            other => panic!("{other:?}"),
        }
        driver.now_ms += millis;
        live.answer(&Input::Resume { person: PERSON.to_owned() }, driver.now_ms).expect("resumed");
        assert!(asked_again(&live), "after {millis} ms");
    }
}

#[test]
fn a_handover_lets_everything_lapse_and_names_the_new_person() {
    let mut journal = Journal::in_memory().expect("a journal");
    let mut driver = Driver::new();
    let mut live = start(&mut journal, "strainer-clean", &driver);
    assert!(advance(&mut live, &mut driver, 20));
    live.answer(&Input::Pause, driver.now_ms).expect("paused");
    live.answer(&Input::Resume { person: SECOND.to_owned() }, driver.now_ms + 1).expect("resumed");
    assert!(asked_again(&live));
    assert_eq!(live.walk().person(), SECOND);
    live.answer(&Input::Resume { person: SECOND.to_owned() }, driver.now_ms + 2).expect("the same again");
    drop(live);
    let events = walk::events(&journal, "strainer-clean").expect("they are there");
    let told = walk::words(&events);
    let handed = format!("handed over from {PERSON} to {SECOND}");
    let again = format!("resumed by {SECOND} after an interruption that nobody announced");
    assert_eq!(told[told.len() - 3..], ["paused".to_owned(), handed, again]);
}

#[test]
fn a_pause_with_a_clock_that_went_back_counts_as_unknown() {
    let mut journal = Journal::in_memory().expect("a journal");
    let mut driver = Driver::new();
    let mut live = start(&mut journal, "strainer-clean", &driver);
    assert!(advance(&mut live, &mut driver, 20));
    live.answer(&Input::Pause, driver.now_ms).expect("paused");
    live.answer(&Input::Resume { person: PERSON.to_owned() }, driver.now_ms - 60_000).expect("resumed");
    assert!(asked_again(&live));
}

#[test]
fn what_is_otherwise_than_recorded_is_taken_and_keeps_the_gate_shut() {
    let mut journal = Journal::in_memory().expect("a journal");
    let mut driver = Driver::new();
    let mut live = start(&mut journal, "strainer-clean", &driver);
    assert!(advance(&mut live, &mut driver, 20));
    drop(live);
    let mut live = walk::resume(&mut journal, "strainer-clean").expect("it is there");
    live.answer(&Input::Resume { person: PERSON.to_owned() }, driver.now_ms).expect("taken");
    while matches!(live.prompt(), Prompt::AsLeft { .. }) {
        live.answer(&Input::Look(Look::No), driver.now_ms).expect("taken");
    }
    let mut first = true;
    while matches!(live.prompt(), Prompt::Look(_)) {
        let answer = if first { Look::No } else { Look::Yes };
        let event = live.answer(&Input::Look(answer), driver.now_ms).expect("taken");
        let Event::Seen { recorded, .. } = event else { panic!("{event:?}") };
        // The record had said that it is so.
        assert_eq!(recorded.is_empty(), !first);
        first = false;
    }
    assert!(matches!(live.prompt(), Prompt::Shut { may_look: true, .. }), "{:?}", live.prompt());
    live.answer(&Input::Stop("the supply is live".to_owned()), driver.now_ms).expect("work is stopped");
    assert_eq!(live.walk().status(), Status::Stopped);
    assert!(matches!(live.answer(&Input::Look(Look::Yes), driver.now_ms), Err(Error::Refused(_))));
}

#[test]
fn of_two_devices_on_one_walk_one_advances_it_and_the_other_is_told() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("records.sqlite");
    let mut first = Journal::open(&path).expect("a journal");
    let mut driver = Driver::new();
    let mut live = start(&mut first, "strainer-clean", &driver);
    assert!(advance(&mut live, &mut driver, 20));
    let mut second = Journal::open(&path).expect("the same journal");
    let mut other = walk::resume(&mut second, "strainer-clean").expect("it is there");
    other.answer(&Input::Resume { person: SECOND.to_owned() }, driver.now_ms).expect("taken");
    let input = driver.input(&live).expect("a question");
    match live.answer(&input, driver.now_ms) {
        Err(Error::Journal(journal::Error::Conflict { .. })) => {}
        other => panic!("{other:?}"),
    }
}
