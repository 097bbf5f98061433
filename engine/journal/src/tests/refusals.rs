//! Files that are not taken, and that they are left as they are.

use std::fs::{self, OpenOptions};
use std::path::Path;

use rusqlite::Connection;

use super::scratch::Scratch;
use crate::schema::APPLICATION_ID;
use crate::{Error, Journal, Verification};

fn both(path: &Path) -> [Result<Journal, Error>; 2] {
    [Journal::open(path), Journal::open_existing(path)]
}

#[test]
fn a_file_of_another_kind_is_refused_and_left() {
    let scratch = Scratch::new();
    for (number, contents) in [b"x".as_slice(), b"steps:\n", &[0; 100], &[0x55; 9000]].iter().enumerate() {
        let path = scratch.folder().join(number.to_string());
        fs::write(&path, contents).unwrap();
        for answer in both(&path) {
            assert_eq!(answer.unwrap_err(), Error::NotAJournal { path: path.clone() });
        }
        assert_eq!(fs::read(&path).unwrap(), *contents);
    }
}

#[test]
fn a_database_of_another_program_is_refused_and_left() {
    let cases = [
        "CREATE TABLE t (x)",
        "PRAGMA application_id = 7",
        "PRAGMA user_version = 1",
        "PRAGMA application_id = 7; PRAGMA user_version = 1; CREATE TABLE record (x)",
        // Our number, and a version that never was.
        "PRAGMA application_id = 1196902988",
        "PRAGMA application_id = 1196902988; PRAGMA user_version = -1",
    ];
    assert_eq!(APPLICATION_ID, 1_196_902_988);
    for sql in cases {
        let scratch = Scratch::new();
        Connection::open(scratch.file()).unwrap().execute_batch(sql).unwrap();
        let before = fs::read(scratch.file()).unwrap();
        for answer in both(&scratch.file()) {
            assert_eq!(answer.unwrap_err(), Error::NotAJournal { path: scratch.file() }, "{sql}");
        }
        assert_eq!(fs::read(scratch.file()).unwrap(), before, "{sql}");
    }
}

#[test]
fn a_newer_version_is_refused_and_left() {
    let scratch = Scratch::new();
    scratch.journal().begin("a", "one", 1).unwrap();
    scratch.raw().execute_batch("PRAGMA user_version = 4").unwrap();
    let before = fs::read(scratch.file()).unwrap();
    for answer in both(&scratch.file()) {
        let error = answer.unwrap_err();
        assert_eq!(error, Error::NewerVersion { path: scratch.file(), found: 4, known: 3 });
        assert!(error.to_string().contains("newer program"));
    }
    assert_eq!(fs::read(scratch.file()).unwrap(), before);
}

#[test]
fn an_empty_file_becomes_a_journal_but_is_none_to_read() {
    let scratch = Scratch::new();
    fs::write(scratch.file(), b"").unwrap();
    assert_eq!(
        Journal::open_existing(scratch.file()).unwrap_err(),
        Error::NotAJournal { path: scratch.file() }
    );
    scratch.journal().begin("a", "one", 1).unwrap();
    assert_eq!(Journal::open_existing(scratch.file()).unwrap().records("a").unwrap().len(), 1);
}

#[test]
fn a_missing_file_is_not_made_by_reading() {
    let scratch = Scratch::new();
    assert_eq!(Journal::open_existing(scratch.file()).unwrap_err(), Error::NotFound { path: scratch.file() });
    assert!(!scratch.file().exists());
}

#[test]
fn a_missing_folder_and_a_folder_are_refused() {
    let scratch = Scratch::new();
    for path in [scratch.folder().join("none").join("journal.db"), scratch.folder().to_path_buf()] {
        let answer = Journal::open(&path);
        assert!(matches!(answer, Err(Error::Io { .. })), "{answer:?}");
    }
}

#[test]
fn a_reading_handle_does_not_write() {
    let scratch = Scratch::new();
    scratch.journal().begin("a", "one", 1).unwrap();
    let mut reader = Journal::open_existing(scratch.file()).unwrap();
    let refused = Err(Error::ReadOnly { path: scratch.file() });
    assert_eq!(reader.append("a", 1, "two", 2), refused);
    assert_eq!(reader.begin("b", "one", 2), refused);
    assert_eq!(reader.verify().unwrap(), Verification::Intact { records: 1 });
}

#[test]
fn a_read_only_file_is_refused_for_writing_and_read_all_the_same() {
    let scratch = Scratch::new();
    scratch.journal().begin("a", "one", 1).unwrap();
    let mut permissions = fs::metadata(scratch.file()).unwrap().permissions();
    permissions.set_readonly(true);
    fs::set_permissions(scratch.file(), permissions).unwrap();
    // The administrator writes to read-only files too; the refusal can be seen only as someone else.
    if OpenOptions::new().append(true).open(scratch.file()).is_err() {
        assert_eq!(Journal::open(scratch.file()).unwrap_err(), Error::ReadOnly { path: scratch.file() });
    }
    assert_eq!(Journal::open_existing(scratch.file()).unwrap().records("a").unwrap().len(), 1);
}

#[test]
fn a_full_disk_keeps_what_was_there() {
    let scratch = Scratch::new();
    let mut journal = scratch.journal();
    journal.begin("a", "one", 1).unwrap();
    // A limit on pages is answered by SQLite as a full disk is.
    journal.connection.pragma_update(None, "max_page_count", 1).unwrap();
    let large = "x".repeat(100_000);
    assert_eq!(journal.append("a", 1, &large, 2), Err(Error::Full { path: scratch.file() }));
    drop(journal);
    let mut journal = scratch.journal();
    assert_eq!(journal.records("a").unwrap().len(), 1);
    journal.append("a", 1, &large, 2).unwrap();
    assert_eq!(journal.verify().unwrap(), Verification::Intact { records: 2 });
}

#[test]
fn a_chain_never_begun_is_unknown() {
    let mut journal = Journal::in_memory().unwrap();
    let unknown = Error::UnknownChain { chain: "a".to_owned() };
    assert_eq!(journal.records("a"), Err(unknown.clone()));
    assert_eq!(journal.append("a", 0, "", 1), Err(unknown));
    assert_eq!(journal.verify().unwrap(), Verification::Intact { records: 0 });
}

#[test]
fn every_message_says_where_and_what_to_do() {
    let path = || "walks.db".into();
    let detail = || "disk I/O error".to_owned();
    let chain = || "walk-9".to_owned();
    let cases = [
        (Error::Busy { path: path() }, ["`walks.db`", "nothing recorded before is lost", "try again"]),
        (Error::Full { path: path() }, ["`walks.db`", "everything recorded before is", "free some room"]),
        (
            Error::ReadOnly { path: path() },
            ["`walks.db`", "nothing recorded before is lost", "ask for the right"],
        ),
        (Error::Corrupt { path: path(), detail: detail() }, ["`walks.db`", "disk I/O error", "restore"]),
        (Error::NotAJournal { path: path() }, ["`walks.db`", "left as it is", "name another file"]),
        (
            Error::NewerVersion { path: path(), found: 4, known: 3 },
            ["`walks.db`", "format 4", "newer program"],
        ),
        (Error::NotFound { path: path() }, ["`walks.db`", "no journal", "check the name"]),
        (
            Error::Io { path: path(), detail: detail() },
            ["`walks.db`", "everything recorded before is kept", "check"],
        ),
        (
            Error::Conflict { chain: chain(), expected: 1, found: 2 },
            ["`walk-9`", "nothing recorded before is lost", "read it again"],
        ),
        (Error::UnknownChain { chain: chain() }, ["`walk-9`", "no records", "check the name"]),
        (Error::ChainExists { chain: chain() }, ["`walk-9`", "its records are kept", "go on with it"]),
        (Error::PayloadTooLong { bytes: 7 }, ["7 bytes", "nothing recorded before is lost", "shorten"]),
        (Error::BadChainId { bytes: 0 }, ["0 bytes", "nothing was written", "choose another"]),
    ];
    for (error, parts) in cases {
        let text = error.to_string();
        for part in parts {
            assert!(text.contains(part), "{part:?} is not in {text:?}");
        }
    }
}
