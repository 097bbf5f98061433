//! Lists of all walks: by what was told with their records, and by the records where the two do not agree.

use super::START_MS;
use document::Zone;
use journal::{Journal, Summary};
use records::{Damaged, Walked};
use rusqlite::Connection;
use std::path::Path;

const LINE: &str = r#"{"format":2,"procedure":"wash","revision":3,"content":"c","equipment":"pump","serial":"A-1",
    "person":"Tomas Reeve","people":["Tomas Reeve"],"status":"stopped","stopped":"A leak."}"#;
const NOTES: &str = r#"[{"step":"rinse","text":"note: Dark."}]"#;

fn summary() -> Summary {
    Summary { token: None, line: LINE.to_owned(), notes: NOTES.to_owned() }
}

/// Walks whose records nobody can read, so that all that is told of them comes from what was told with these.
fn walks(file: &Path, ids: &[&str], records: u64) {
    let mut journal = Journal::open(file).expect("a journal");
    for id in ids {
        journal.begin(id, "{}", START_MS).expect("written");
    }
    journal
        .together(|journal| {
            for seq in 1..records {
                journal.append(ids[0], seq, "{}", START_MS + 1).expect("written");
            }
        })
        .expect("on disk");
    for id in ids {
        journal.tell(id, &summary()).expect("written");
    }
}

fn read(file: &Path) -> (Vec<Walked>, Vec<Damaged>) {
    records::walked(&Journal::open_existing(file).expect("a journal"), Zone::UTC).expect("it reads")
}

fn names((walks, damaged): (Vec<Walked>, Vec<Damaged>)) -> (Vec<String>, Vec<String>) {
    (walks.into_iter().map(|walk| walk.id).collect(), damaged.into_iter().map(|one| one.walk).collect())
}

/// Whoever has the rights to the file and knows SQLite.
fn raw(file: &Path, sql: &str) {
    Connection::open(file).and_then(|file| file.execute_batch(sql)).expect("it is done");
}

/// So many that their hashes are not computed for each list, and so few that they are.
const SIZES: [u64; 2] = [20_100, 3];

#[test]
fn what_was_told_is_listed() {
    for records in SIZES {
        let folder = tempfile::tempdir().expect("a folder");
        let file = folder.path().join("records.db");
        walks(&file, &["one", "two"], records);
        let (walks, damaged) = read(&file);
        assert!(damaged.is_empty(), "{damaged:?}");
        let told: Vec<_> = walks.iter().map(|walk| (&*walk.id, walk.records, walk.last_ms)).collect();
        assert_eq!(told, [("one", records, START_MS + 1), ("two", 1, START_MS)]);
        let one = &walks[0];
        assert_eq!((&*one.procedure, one.revision, &*one.serial), ("wash", 3, "A-1"));
        assert_eq!((one.standing, one.ended, one.out_of_use, one.is_earlier), ("stopped", true, true, false));
        assert_eq!(one.stopped.as_deref(), Some("A leak."));
        let journal = Journal::open_existing(&file).expect("a journal");
        let (walks, _) = records::walked_with_remarks(&journal, Zone::UTC).expect("it reads");
        assert_eq!(walks[1].1[0].text, "note: Dark.");
    }
}

/// The records of these walks cannot be read: where they count, the walk is damaged.
#[test]
fn the_records_count_where_they_say_otherwise() {
    let changes = [
        ("UPDATE summary SET line = replace(line, 'stopped', 'completed') WHERE chain = 'two'", vec!["two"]),
        ("UPDATE summary SET len = len + 1 WHERE chain = 'two'", vec!["two"]),
        ("UPDATE summary SET line = 'x', seal = 0 WHERE chain = 'two'", vec!["two"]),
        ("DROP TRIGGER summary_stays; DELETE FROM summary WHERE chain = 'two'", vec!["two"]),
        ("DROP TABLE summary", vec!["one", "two"]),
        // The last records of the file are gone, or all of a walk.
        ("DROP TRIGGER record_kept; DELETE FROM record WHERE chain = 'one' AND seq > 1", vec!["one"]),
        ("DROP TRIGGER record_kept; DELETE FROM record WHERE global_seq > 0", vec!["two"]),
        // So that nothing names it any more.
        (
            "DROP TRIGGER record_kept; DELETE FROM record WHERE chain = 'two';
             DROP TRIGGER summary_stays; DELETE FROM summary WHERE chain = 'two'",
            vec![],
        ),
    ];
    for records in SIZES {
        for (change, expected) in &changes {
            let folder = tempfile::tempdir().expect("a folder");
            let file = folder.path().join("records.db");
            walks(&file, &["one", "two"], records);
            raw(&file, change);
            let (_, damaged) = names(read(&file));
            assert!(!damaged.is_empty(), "{change}");
            // In a short file the hashes of what follows do not hold either.
            assert!(
                expected.iter().all(|walk| damaged.iter().any(|one| one == walk)),
                "{change}: {damaged:?}"
            );
        }
    }
}

/// A changed record is found at once where there are few, and by whoever verifies where there are many.
#[test]
fn a_changed_record_is_found() {
    for records in SIZES {
        let folder = tempfile::tempdir().expect("a folder");
        let file = folder.path().join("records.db");
        walks(&file, &["one", "two"], records);
        raw(&file, "DROP TRIGGER record_unchanged; UPDATE record SET payload = '[]' WHERE chain = 'two'");
        let (walks, damaged) = names(read(&file));
        let journal = Journal::open_existing(&file).expect("a journal");
        let found =
            records::damaged_among(&journal, vec!["one".to_owned(), "two".to_owned()]).expect("it reads");
        assert_eq!(found.iter().map(|one| &*one.walk).collect::<Vec<_>>(), ["two"]);
        assert_eq!(damaged, if records == 3 { vec!["two"] } else { vec![] });
        assert_eq!(walks.len() + damaged.len(), 2);
    }
}

#[test]
fn what_was_recorded_since_is_told_alone() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("records.db");
    walks(&file, &["one", "two"], 3);
    let mut journal = Journal::open(&file).expect("a journal");
    let len = journal.head().expect("a head").len;
    let since = |journal: &Journal, len: u64| {
        names(records::walked_since(journal, len, Zone::UTC).expect("it reads").expect("few"))
    };
    assert_eq!(since(&journal, len), (vec![], vec![]));
    journal.append("two", 1, "{}", START_MS + 2).expect("written");
    journal.tell("two", &summary()).expect("written");
    journal.begin("three", "{}", START_MS + 3).expect("written");
    journal.tell("three", &summary()).expect("written");
    let (mut walks, damaged) = since(&journal, len);
    walks.sort();
    assert_eq!((walks, damaged), (vec!["three".to_owned(), "two".to_owned()], vec![]));
    // Of one nothing was told: all are read anew.
    journal.begin("four", "{}", START_MS + 4).expect("written");
    assert!(records::walked_since(&journal, len, Zone::UTC).expect("it reads").is_none());
    let (_, damaged) = names(read(&file));
    assert_eq!(damaged, ["four"]);
}
