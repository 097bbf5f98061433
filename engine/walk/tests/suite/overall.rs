//! What lists tell of walks follows from their records: while they are walked, after a change, and in a file of an earlier program.

use super::driver::{Driver, SECOND, begin};
use super::relooks::{NOW, asked, procedure};
use super::rig::put_on_record;
use crate::support::demo::{PROCEDURES, files};
use journal::Journal;
use walk::{Event, Input, Look, Status};

const CONDITIONS: &str = "conditions:\n  lid: { values: [shut, open], ask: Is the lid shut? }\n";
const STEPS: &str = "  - { id: one, requires: { lid: shut }, do: Work. }\n  - { id: two, do: Go on. }\n";

fn told(journal: &Journal, id: &str) -> walk::Line {
    let told = journal.told_of(id).expect("it reads").expect("it is told");
    walk::line_of(&told).expect("a line")
}

/// At every event.
fn agrees(journal: &Journal) {
    assert_eq!(walk::told_otherwise(journal).expect("it reads"), [""; 0]);
    assert!(journal.told(true, |_| ()).expect("it reads"), "nothing is left out");
}

#[test]
fn it_is_told_with_every_event() {
    let mut journal = Journal::in_memory().expect("a journal");
    let begun = procedure(CONDITIONS, "requires: { lid: shut }", STEPS);
    let inputs = [
        Input::Look(Look::No),
        Input::Look(Look::Yes),
        Input::Note("Dark.".to_owned()),
        Input::Pause,
        Input::Resume { person: SECOND.to_owned() },
        Input::Look(Look::No),
        Input::Look(Look::Yes),
        Input::Done,
        Input::TakeBack,
        Input::Stop("A leak.".to_owned()),
    ];
    drop(walk::begin(&mut journal, "one", begun, NOW).expect("begun"));
    agrees(&journal);
    assert_eq!(told(&journal, "one").status, Status::NotStarted);
    for input in inputs {
        let mut live = walk::resume(&mut journal, "one").expect("it reads");
        if live.answer(&input, NOW).is_err() {
            continue;
        }
        drop(live);
        agrees(&journal);
    }
    let line = told(&journal, "one");
    assert_eq!((line.status, line.stopped.as_deref()), (Status::Stopped, Some("A leak.")));
    assert_eq!((line.people, &*line.person), (vec!["Tomas Reeve".to_owned(), SECOND.to_owned()], SECOND));
    let remarks =
        walk::remarks_of(&journal.told_of("one").expect("it reads").expect("told")).expect("remarks");
    let texts: Vec<&str> = remarks.iter().map(|remark| &*remark.text).collect();
    assert!(texts.contains(&"note: Dark.") && texts.contains(&"work stopped: A leak."), "{texts:?}");
}

#[test]
fn every_bundled_procedure_is_told_to_its_end() {
    for name in PROCEDURES {
        let mut journal = Journal::in_memory().expect("a journal");
        let mut live = walk::begin(&mut journal, "one", begin(name, &files()), NOW).expect("begun");
        Driver { now_ms: NOW, ..Driver::new() }.finish(&mut live);
        drop(live);
        agrees(&journal);
        assert_eq!(told(&journal, "one").status, Status::Completed, "{name}");
    }
}

/// A file in which another program went on without telling.
#[test]
fn what_was_not_told_is_caught_up_with() {
    let mut journal = Journal::in_memory().expect("a journal");
    let begun = procedure(CONDITIONS, "requires: { lid: shut }", STEPS);
    let mut live = walk::begin(&mut journal, "one", begun, NOW).expect("begun");
    asked(&mut live);
    drop(live);
    put_on_record(&mut journal, &Event::Done { step: "one".to_owned() }, NOW);
    put_on_record(&mut journal, &Event::Done { step: "two".to_owned() }, NOW);
    assert_eq!(told(&journal, "one").status, Status::InProgress);
    assert_eq!(walk::told_otherwise(&journal).expect("it reads"), ["one"]);
    assert_eq!(walk::line_by_records(&journal, "one").expect("it reads").0.status, Status::Completed);
    walk::catch_up(&mut journal).expect("caught up");
    agrees(&journal);
    assert_eq!(told(&journal, "one").status, Status::Completed);
}

/// Names are given in turn, and asking twice under one key finds what was begun.
#[test]
fn a_free_name_is_found_among_many_and_a_key_finds_its_walk() {
    let mut journal = Journal::in_memory().expect("a journal");
    let day = document::Day::parse("2026-10-20").expect("a day");
    for number in 1..=20 {
        let name = walk::free_name(&journal, "main", day).expect("it reads");
        assert_eq!(name, format!("main-2026-10-20-{number}"));
        let begun = procedure(CONDITIONS, "requires: { lid: shut }", STEPS);
        let key = format!("key {number}");
        let mut cache = walk::CompiledCache::default();
        drop(walk::begin_among(&mut journal, &name, begun, Some(&key), NOW, &mut cache).expect("begun"));
        let found = walk::begun_with(&journal, "main", day, &key).expect("it reads");
        assert_eq!(found.as_deref(), Some(&*name));
    }
    let other = document::Day::parse("2026-10-21").expect("a day");
    for (procedure, day, key) in [("main", other, "key 3"), ("other", day, "key 3"), ("main", day, "key")] {
        assert_eq!(walk::begun_with(&journal, procedure, day, key).expect("it reads"), None);
    }
}
