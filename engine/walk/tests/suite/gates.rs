//! No gate opens on a wrong answer: at every prompt of every procedure everything wrong is tried.

use super::driver::{Driver, PERSON, start};
use crate::support::demo::PROCEDURES;
use journal::Journal;
use std::collections::BTreeMap;
use walk::{Error, Event, Input, LiveWalk, Look, Prompt, Stage};

/// What is wrong at a prompt, each with a name for the table.
fn wrong(prompt: &Prompt) -> Vec<(&'static str, Input)> {
    let mut tries = vec![
        ("an unknown answer", Input::Answer("perhaps".to_owned())),
        ("an unknown item", Input::Item("no-such-step".to_owned())),
        ("a signature of the one who does the work", Input::Sign(PERSON.to_owned())),
        ("the same in capitals", Input::Sign(format!(" {} ", PERSON.to_uppercase()))),
        ("a signature of nobody", Input::Sign("  ".to_owned())),
        ("a reading without a unit", Input::Reading("1".to_owned())),
        ("a reading in another unit", Input::Reading("1 kg".to_owned())),
        ("no reading", Input::Reading("NaN ohm".to_owned())),
        ("stopping without a reason", Input::Stop(" ".to_owned())),
        ("a limit that is not reached", Input::LimitReached),
        ("an unknown variant", Input::Variant("13 m".to_owned())),
    ];
    if !matches!(prompt, Prompt::Act) {
        tries.push(("done without doing", Input::Done));
    }
    match prompt {
        // A pass begun over again, and a fastener that is not there.
        Prompt::Fasten(tick) => {
            let wrong = tick.order.iter().copied().filter(|&other| Some(other) != tick.next());
            let name = "a fastener out of order";
            tries.extend(wrong.chain([0, 201]).map(|fastener| (name, Input::Fastener(fastener))));
        }
        _ => tries.push(("a fastener where none is due", Input::Fastener(1))),
    }
    if !matches!(prompt, Prompt::Look(_) | Prompt::AsLeft { .. }) {
        tries.push(("yes where nothing is asked", Input::Look(Look::Yes)));
        tries.push(("no where nothing is asked", Input::Look(Look::No)));
    }
    if !matches!(prompt, Prompt::Wait(_) | Prompt::Settle { .. }) {
        tries.push(("a timer where none is due", Input::StartTimer));
    }
    tries.push(("a timer before its time", Input::TimerOver));
    tries
}

fn refused(live: &mut LiveWalk<'_>, name: &str, input: &Input, now_ms: i64) {
    let before = (live.walk().record().clone(), format!("{:?}", live.prompt()));
    match live.answer(input, now_ms) {
        Err(Error::Refused(refusal)) => {
            assert!(!refusal.reason.is_empty() && !refusal.opens.is_empty(), "{name}: no reason");
        }
        other => panic!("{name} was not refused at {:?}: {other:?}", before.1),
    }
    assert_eq!(
        (live.walk().record().clone(), format!("{:?}", live.prompt())),
        before,
        "{name} changed the walk"
    );
}

#[test]
fn nothing_wrong_passes_any_gate() {
    let mut tried: BTreeMap<&str, usize> = BTreeMap::new();
    for procedure in PROCEDURES {
        let mut journal = Journal::in_memory().expect("a journal");
        let mut driver = Driver::new();
        let mut live = start(&mut journal, procedure, &driver);
        while let Some(input) = {
            // Everything wrong is tried before the clock moves on for the right answer.
            let now_ms = driver.now_ms;
            for (name, input) in wrong(&live.prompt()) {
                if matches!(live.prompt(), Prompt::Ended(_)) {
                    break;
                }
                // A timer that has run its time is no wrong answer.
                if matches!(input, Input::Look(_)) && live.walk().timer_has_run() {
                    continue;
                }
                refused(&mut live, name, &input, now_ms);
                *tried.entry(name).or_default() += 1;
            }
            driver.input(&live)
        } {
            driver.now_ms += 1_000;
            live.answer(&input, driver.now_ms).expect("the right answer is taken");
        }
        let len = walk::events(&journal, procedure).expect("records").len();
        assert!(len > 20, "{procedure} has only {len} records");
    }
    assert!(tried.values().all(|&count| count >= 100), "{tried:?}");
}

/// A no is no refusal: it is recorded, the others are still asked, and then the gate stays shut. It may be looked at once
/// more; after a second no nothing but a stop is left.
#[test]
fn a_no_before_the_start_is_recorded_and_keeps_the_gate_shut() {
    for procedure in PROCEDURES {
        let mut journal = Journal::in_memory().expect("a journal");
        let mut driver = Driver::new();
        let mut live = start(&mut journal, procedure, &driver);
        while !matches!(live.walk().stage(), Stage::Gate { .. }) {
            let input = driver.input(&live).expect("a question");
            live.answer(&input, driver.now_ms).expect("taken");
        }
        let mut asked = 0;
        while let Stage::Gate { .. } = live.walk().stage() {
            let answer = if asked == 0 { Look::No } else { Look::Yes };
            let event = live.answer(&Input::Look(answer), driver.now_ms).expect("taken");
            assert!(matches!(event, Event::Seen { answer: said, .. } if said == answer), "{event:?}");
            asked += 1;
        }
        let Stage::Shut { due, may_look: true, .. } = live.walk().stage() else {
            panic!("{procedure}: {:?}", live.walk().stage())
        };
        for input in [Input::Done, Input::Restored("no-such-action".to_owned())] {
            refused(&mut live, "going on", &input, driver.now_ms);
        }
        live.answer(&Input::Look(Look::No), driver.now_ms).expect("a second look");
        let Stage::Shut { due: again, may_look: false, ref offers, .. } = live.walk().stage() else {
            panic!("{procedure}: {:?}", live.walk().stage())
        };
        assert!(again == due && offers.is_empty(), "{procedure}");
        refused(&mut live, "a third look", &Input::Look(Look::Yes), driver.now_ms);
        live.answer(&Input::Stop("not as required".to_owned()), driver.now_ms).expect("a stop");
    }
}

#[test]
fn a_wait_cannot_be_cut_short_and_a_clock_that_went_back_is_not_believed() {
    let mut journal = Journal::in_memory().expect("a journal");
    let mut driver = Driver::new();
    let mut live = start(&mut journal, "tip-swap", &driver);
    while !matches!(live.prompt(), Prompt::Wait(_)) {
        let input = driver.input(&live).expect("a wait comes");
        live.answer(&input, driver.now_ms).expect("taken");
    }
    let Prompt::Wait(timer) = live.prompt() else { panic!("a wait") };
    // 45 s is the time the demo equipment's charge settles in (invented).
    assert_eq!(timer.millis, 45_000);
    let since = timer.since_ms.expect("it runs");
    refused(&mut live, "1 ms early", &Input::TimerOver, since + 44_999);
    refused(&mut live, "done", &Input::Done, since + 44_999);
    refused(&mut live, "an hour back", &Input::TimerOver, since - 3_600_000);
    live.answer(&Input::StartTimer, since - 3_600_000).expect("it starts again");
    // By a clock that went back nobody knows how old a look is.
    while live.walk().is_gated() {
        live.answer(&Input::Look(Look::Yes), since - 3_600_000).expect("taken");
    }
    refused(&mut live, "early after the restart", &Input::TimerOver, since - 3_600_000 + 44_999);
    live.answer(&Input::TimerOver, since - 3_600_000 + 45_000).expect("the time is over");
}

#[test]
fn a_reading_is_judged_with_the_instruments_uncertainty() {
    let mut journal = Journal::in_memory().expect("a journal");
    let mut driver = Driver::new();
    let mut live = start(&mut journal, "wand-reassembly", &driver);
    while !matches!(live.prompt(), Prompt::Reading(_)) {
        let input = driver.input(&live).expect("a reading comes");
        live.answer(&input, driver.now_ms).expect("taken");
    }
    let Prompt::Reading(reading) = live.prompt() else { panic!("a reading") };
    let limit = reading.range.expect("a range").at_most().expect("an upper limit").to_string();
    // ILAC-G8:09/2019, binary rule with a guard band of the expanded uncertainty (read): a reading at the limit passes
    // nothing.
    let event = live.answer(&Input::Reading(limit), driver.now_ms).expect("recorded");
    let walk::Event::Reading { verdict, attempt, .. } = event else { panic!("a reading is recorded") };
    assert_eq!((verdict, attempt), (walk::ReadingVerdict::TooCloseToTell, 1));
    let Prompt::Reading(again) = live.prompt() else { panic!("another reading is allowed") };
    assert_eq!(again.attempt, 2);
}

#[test]
fn what_is_to_be_verified_does_not_count_before_a_second_person_signs() {
    let mut signed = Vec::new();
    for procedure in ["battery-replacement", "unboxing"] {
        let mut journal = Journal::in_memory().expect("a journal");
        let mut driver = Driver::new();
        let mut live = start(&mut journal, procedure, &driver);
        loop {
            if let Prompt::Sign { check: None, .. } = live.prompt() {
                assert_eq!(live.walk().status().words(), "awaiting verification");
                for input in [
                    Input::Done,
                    Input::Look(Look::Yes),
                    Input::Look(Look::No),
                    Input::Sign(PERSON.to_owned()),
                ] {
                    refused(&mut live, "going on without verification", &input, driver.now_ms);
                }
                let step = live.walk().step().expect("a step");
                signed.push(step.kind.main_key().to_owned());
            }
            let Some(input) = driver.input(&live) else { break };
            driver.now_ms += 1_000;
            live.answer(&input, driver.now_ms).expect("taken");
        }
    }
    // The demo library has confirmations verified by a second person, not only acts.
    assert!(signed.iter().any(|kind| kind == "confirm"), "{signed:?}");
    assert!(signed.len() >= 3, "{signed:?}");
}
