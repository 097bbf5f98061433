//! The certificate that a walk carries: kept once, named by its hash, and nothing is shown where it does not say what is believed.

use super::driver::{Driver, SECOND, begin};
use super::relooks::{NOW, asked, procedure, say};
use super::rig::put_on_record;
use crate::support::demo::{PROCEDURES, files};
use crate::support::walks::certified;
use journal::Journal;
use rusqlite::Connection;
use std::path::Path;
use walk::{Event, Input, Look, Stage, Status, ToBegin, field_remarks};

const CONDITIONS: &str = "conditions:\n  \
    lid: { values: [shut, open], ask: Is the lid shut? }\n  \
    bolt: { values: [tight, loose], ask: Is the bolt tight? }\n\
    safe_state: { lid: shut }\n\
    actions:\n  \
    close: { do: Shut the lid., leaves: { lid: shut }, restores: true }\n";
const STEPS: &str = "  - { id: one, requires: { lid: shut }, do: Work., leaves: { bolt: loose } }\n  \
                     - { id: two, requires: { bolt: loose }, do: Work on. }\n";

/// Of all that is kept, what is no document.
const CERTIFICATES: &str = r#"WHERE CAST(bytes AS TEXT) LIKE '{"version":%'"#;

fn to_begin(steps: &str) -> ToBegin {
    let begin = procedure(CONDITIONS, "requires: { lid: shut }", steps);
    let mut journal = Journal::in_memory().expect("a journal");
    let live = walk::begin(&mut journal, "one", begin.clone(), NOW).expect("begun");
    let wanted = certified(begin, live.walk().machine());
    assert!(wanted.certificate.is_some());
    wanted
}

fn raw(path: &Path, sql: &str) {
    Connection::open(path).and_then(|file| file.execute_batch(sql)).expect("it is done");
}

#[test]
fn the_first_record_names_it_and_it_is_kept_once_for_all_walks() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("walks.db");
    let wanted = to_begin(STEPS);
    let mut journal = Journal::open(&path).expect("a journal");
    for name in ["one", "two"] {
        walk::begin(&mut journal, name, wanted.clone(), NOW).expect("begun");
    }
    let hash = form::hash(&wanted.certificate).expect("a hash");
    for name in ["one", "two"] {
        let begun = walk::beginning(&journal, name).expect("a beginning");
        assert_eq!(begun.certificate.as_ref(), Some(&hash));
    }
    let kept = journal.kept(&hash.parse().expect("a hash")).expect("it reads").expect("it is there");
    assert_eq!(kept, serde_json::to_vec(&wanted.certificate).expect("as text"));
    let count = "SELECT count(*) FROM kept";
    let rows: i64 =
        Connection::open(&path).and_then(|file| file.query_row(count, [], |row| row.get(0))).expect("rows");
    // The certificate, and the two documents.
    assert_eq!(rows, 3);
}

#[test]
fn every_bundled_procedure_is_walked_to_its_end_with_its_certificate() {
    for name in PROCEDURES {
        let machine = machine::compile(&document::read(&files()).library, &name.into()).expect("a machine");
        let wanted = certified(begin(name, &files()), &machine);
        assert!(wanted.certificate.is_some(), "{name}");
        let mut journal = Journal::in_memory().expect("a journal");
        let mut live = walk::begin(&mut journal, "one", wanted, NOW).expect("begun");
        Driver::new().finish(&mut live);
        assert_eq!(live.walk().status(), Status::Completed, "{name}");
    }
}

/// What of the file is changed, and whether the walk goes on by it all the same.
#[test]
fn without_its_certificate_a_walk_shows_nothing_more() {
    let other = serde_json::to_string(
        &to_begin(&STEPS.replace("Work on.", "Go on.").replace("loose", "tight")).certificate,
    );
    let other = other.expect("as text").replace('\'', "''");
    let unguarded = "DROP TRIGGER kept_unchanged; DROP TRIGGER kept_stays;";
    let cases = [
        ("".to_owned(), true),
        (format!("DELETE FROM kept {CERTIFICATES}"), false),
        (format!("UPDATE kept SET bytes = x'7b7d' {CERTIFICATES}"), false),
        (format!("UPDATE kept SET bytes = CAST('{other}' AS BLOB) {CERTIFICATES}"), false),
    ];
    for (change, goes_on) in cases {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("walks.db");
        let mut journal = Journal::open(&path).expect("a journal");
        let mut live = walk::begin(&mut journal, "one", to_begin(STEPS), NOW).expect("begun");
        assert_eq!(asked(&mut live), ["lid"]);
        drop(live);
        raw(&path, &format!("{unguarded} {change}"));
        let without = walk::without_what_they_go_by(&journal).expect("it reads");
        assert_eq!(without.is_empty(), goes_on, "{change}");
        let mut live = walk::resume(&mut journal, "one").expect("it reads");
        say(&mut live, Input::Resume { person: SECOND.to_owned() });
        if goes_on {
            say(&mut live, Input::Look(Look::No));
            assert_eq!(asked(&mut live), ["lid"], "{change}");
        }
        assert_eq!(matches!(live.walk().stage(), Stage::Act), goes_on, "{change}: {:?}", live.walk().stage());
        assert_eq!(live.walk().is_never_proved(), !goes_on);
        if goes_on {
            continue;
        }
        let Stage::Locked(why) = live.walk().stage() else { panic!("{change}: {:?}", live.walk().stage()) };
        assert!(why.starts_with("this state was never proved"), "{why}");
        assert!(live.answer(&Input::Done, NOW).is_err(), "{change}");
        // Of the machine nothing is believed any more.
        let lid = live.walk().machine().layout.find("lid").expect("a condition");
        let is_open = |state: &machine::AbstractState| {
            state.bits.field(&live.walk().machine().layout, lid) == live.walk().machine().layout.all(lid)
        };
        assert!(live.walk().possible().iter().all(is_open), "{change}");
        say(&mut live, Input::Stop("it is shut".to_owned()));
        assert_eq!(live.walk().status(), Status::Stopped);
        drop(live);
        let events = walk::events(&journal, "one").expect("records");
        let told = |(_, event): &&(i64, Event)| matches!(event, Event::NeverProved { .. });
        assert_eq!(events.iter().filter(told).count(), 1, "{change}");
        let remarks = field_remarks(events.iter().map(|(_, event)| event));
        assert!(remarks.iter().any(|remark| remark.text.contains("was never proved")), "{remarks:?}");
        // Where the certificate is back, what stood on record stands.
        assert!(walk::fold(&journal, "one").expect("it reads").is_never_proved());
    }
}

#[test]
fn a_completed_walk_stays_completed_whatever_becomes_of_its_certificate() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("walks.db");
    let mut journal = Journal::open(&path).expect("a journal");
    let mut live = walk::begin(&mut journal, "one", to_begin(STEPS), NOW).expect("begun");
    asked(&mut live);
    say(&mut live, Input::Done);
    say(&mut live, Input::Done);
    asked(&mut live);
    assert_eq!(live.walk().status(), Status::Completed);
    drop(live);
    raw(&path, &format!("DROP TRIGGER kept_stays; DELETE FROM kept {CERTIFICATES}"));
    let live = walk::resume(&mut journal, "one").expect("it reads");
    assert_eq!(live.walk().status(), Status::Completed);
}

#[test]
fn a_walk_goes_by_what_its_certificate_is_of() {
    let changes: [fn(&mut ToBegin); 3] = [
        |_| (),
        // The compiled form is the same, and people would do something else.
        |wanted| {
            let main = wanted.begin.documents.iter_mut().find(|document| document.name == "main.yaml");
            let main = main.expect("a procedure");
            assert!(main.text.contains("do: Work on."));
            main.text = main.text.replace("do: Work on.", "do: Take it away.");
        },
        |wanted| wanted.begin.content = "0".repeat(64),
    ];
    for (number, change) in changes.into_iter().enumerate() {
        let mut wanted = to_begin(STEPS);
        change(&mut wanted);
        let mut journal = Journal::in_memory().expect("a journal");
        let live = walk::begin(&mut journal, "one", wanted, NOW).expect("begun");
        assert_eq!(live.walk().is_never_proved(), number > 0, "change {number}");
        assert_eq!(matches!(live.walk().stage(), Stage::Locked(_)), number > 0, "change {number}");
    }
}

#[test]
fn an_event_is_of_the_step_at_which_the_walk_stands() {
    for (step, is_of_it) in [("one", true), ("two", false)] {
        let mut journal = Journal::in_memory().expect("a journal");
        let mut live = walk::begin(&mut journal, "one", to_begin(STEPS), NOW).expect("begun");
        asked(&mut live);
        drop(live);
        put_on_record(&mut journal, &Event::Done { step: step.to_owned() }, NOW);
        let live = walk::resume(&mut journal, "one").expect("it reads");
        assert_eq!(live.walk().is_never_proved(), !is_of_it, "{step}");
    }
}

/// A program that asked less at the gate would have left these.
#[test]
fn what_nobody_looked_at_again_is_in_question() {
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = walk::begin(&mut journal, "one", to_begin(STEPS), NOW).expect("begun");
    asked(&mut live);
    say(&mut live, Input::Resume { person: SECOND.to_owned() });
    say(&mut live, Input::Look(Look::No));
    assert!(matches!(live.walk().stage(), Stage::Gate { .. }), "the lid is looked at again");
    drop(live);
    put_on_record(&mut journal, &Event::Done { step: "one".to_owned() }, NOW);
    let live = walk::resume(&mut journal, "one").expect("it reads");
    assert!(live.walk().is_never_proved(), "{:?}", live.walk().stage());
}

#[test]
fn a_walk_without_a_certificate_says_so() {
    for (wanted, carries_none) in [(to_begin(STEPS), false), (to_begin(STEPS).begin.into(), true)] {
        let mut journal = Journal::in_memory().expect("a journal");
        let live = walk::begin(&mut journal, "one", wanted, NOW).expect("begun");
        assert_eq!(live.walk().carries_none().is_some(), carries_none);
    }
}

/// Its hashes are right, and its sets hold whatever is believed at the start.
#[test]
fn a_certificate_that_is_not_right_vouches_for_nothing() {
    for is_emptied in [false, true] {
        let mut wanted = to_begin(STEPS);
        let certificate = wanted.certificate.as_mut().expect("one");
        if is_emptied {
            assert!(certificate.plans.iter().any(|plan| !plan.is_empty()));
            certificate.plans.iter_mut().for_each(Vec::clear);
        }
        let mut journal = Journal::in_memory().expect("a journal");
        let live = walk::begin(&mut journal, "one", wanted, NOW).expect("begun");
        assert_eq!(live.walk().is_never_proved(), is_emptied);
    }
}

#[test]
fn a_walk_whose_document_is_gone_is_told_and_cannot_be_read() {
    for change in ["", "DELETE FROM kept", "UPDATE kept SET bytes = x'7b7d'"] {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("walks.db");
        let mut journal = Journal::open(&path).expect("a journal");
        drop(walk::begin(&mut journal, "one", to_begin(STEPS), NOW).expect("begun"));
        let guards = "DROP TRIGGER kept_unchanged; DROP TRIGGER kept_stays;";
        let documents = if change.is_empty() { "" } else { "WHERE CAST(bytes AS TEXT) LIKE 'procedure:%'" };
        raw(&path, &format!("{guards} {change} {documents}"));
        let without = walk::without_what_they_go_by(&journal).expect("it reads");
        assert_eq!(without.is_empty(), change.is_empty(), "{change}");
        match walk::resume(&mut journal, "one") {
            Ok(live) => assert_eq!((change, live.walk().begin().documents.len()), ("", 2)),
            Err(error) => assert!(!change.is_empty() && error.to_string().contains("`main.yaml`"), "{error}"),
        }
        // Its beginning can still be told.
        assert_eq!(walk::beginning(&journal, "one").map(|begin| begin.equipment).as_deref(), Some("rig"));
    }
}
