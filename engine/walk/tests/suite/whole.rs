//! Every procedure of the demo library can be walked to its end, and every way of choosing ends.

use super::driver::{Driver, start};
use crate::support::demo::PROCEDURES;
use journal::{Journal, Verification};
use std::collections::BTreeSet;
use walk::{Event, Status};

#[test]
fn each_of_the_six_is_walked_to_completed() {
    for procedure in PROCEDURES {
        let mut journal = Journal::in_memory().expect("a journal");
        let mut driver = Driver::new();
        let mut live = start(&mut journal, procedure, &driver);
        driver.finish(&mut live);
        assert_eq!(live.walk().status(), Status::Completed, "{procedure}");
        // Belief at the end is what the proof promised.
        let walk = live.walk();
        for promise in &walk.machine().promises {
            let is_owed = promise.source == machine::PromiseSource::Leaves
                || walk.machine().wrote(walk.record(), promise.conjunct.var);
            let field = walk.record().bits.field(&walk.machine().layout, promise.conjunct.var);
            assert!(!is_owed || field & !promise.conjunct.set == 0, "{procedure}");
        }
        assert!(matches!(journal.verify(), Ok(Verification::Intact { .. })));
    }
}

#[test]
fn every_way_of_choosing_ends_completed_or_stopped() {
    let mut ends = BTreeSet::new();
    for procedure in PROCEDURES {
        for choices in 0..6 {
            let mut journal = Journal::in_memory().expect("a journal");
            let mut driver = Driver { choices, ..Driver::new() };
            let mut live = start(&mut journal, procedure, &driver);
            driver.finish(&mut live);
            let standing = live.walk().status();
            assert!(standing.is_ended(), "{procedure} {choices}");
            ends.insert((procedure, standing.words()));
        }
    }
    assert!(ends.len() > PROCEDURES.len(), "the choices never led to a stop: {ends:?}");
}

#[test]
fn a_fold_of_the_records_is_the_walk() {
    for procedure in PROCEDURES {
        let mut journal = Journal::in_memory().expect("a journal");
        let mut driver = Driver::new();
        let mut live = start(&mut journal, procedure, &driver);
        for _ in 0..60 {
            let Some(input) = driver.input(&live) else { break };
            driver.now_ms += 1_000;
            live.answer(&input, driver.now_ms).expect("taken");
        }
        let (record, standing) = (live.walk().record().clone(), live.walk().status());
        let folded = walk::fold(&journal, procedure).expect("the records can be read");
        assert_eq!(*folded.record(), record);
        assert_eq!(folded.status(), standing);
    }
}

#[test]
fn every_event_is_one_record_in_order() {
    let mut journal = Journal::in_memory().expect("a journal");
    let mut driver = Driver::new();
    let mut live = start(&mut journal, "strainer-clean", &driver);
    let given = driver.finish(&mut live);
    let recorded: Vec<Event> = walk::events(&journal, "strainer-clean")
        .expect("records")
        .into_iter()
        .map(|(_, event)| event)
        .collect();
    // Besides what was answered there is the beginning, and the start of each timer.
    let answered: Vec<&Event> = recorded
        .iter()
        .filter(|event| !matches!(event, Event::Begin(_) | Event::WaitStarted { .. }))
        .collect();
    assert_eq!(answered, given.iter().collect::<Vec<_>>());
    assert!(recorded.iter().any(|event| matches!(event, Event::WaitStarted { millis: 60_000, .. })));
}
