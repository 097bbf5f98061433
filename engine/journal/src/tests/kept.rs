//! What records name by its hash.

use std::str::FromStr;

use super::scratch::Scratch;
use crate::{Error, Hash, Journal, Verification};

/// SHA-256 of `abc`. Source: NIST, example values of FIPS 180-4 (memory).
const ABC: &str = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";

#[test]
fn what_is_kept_is_kept_once_and_under_its_hash() {
    let scratch = Scratch::new();
    let mut journal = scratch.journal();
    let hash = journal.keep(b"abc").unwrap();
    assert_eq!(hash.to_string(), ABC);
    assert_eq!(journal.keep(b"abc").unwrap(), hash);
    drop(journal);
    let rows: i64 = scratch.raw().query_row("SELECT count(*) FROM kept", [], |row| row.get(0)).unwrap();
    assert_eq!(rows, 1);
    let reader = Journal::open_existing(scratch.file()).unwrap();
    assert_eq!(reader.kept(&hash).unwrap().as_deref(), Some(b"abc".as_slice()));
    assert_eq!(reader.kept(&Hash::from_str(&"0".repeat(64)).unwrap()).unwrap(), None);
    assert_eq!(reader.verify().unwrap(), Verification::Intact { records: 0 });
}

#[test]
fn nobody_changes_or_removes_it_in_passing() {
    let scratch = Scratch::new();
    scratch.journal().keep(b"abc").unwrap();
    for sql in [
        "UPDATE kept SET bytes = x'00'",
        "DELETE FROM kept",
        "INSERT OR REPLACE INTO kept SELECT * FROM kept",
    ] {
        assert!(scratch.raw().execute_batch(sql).is_err(), "{sql}");
    }
}

#[test]
fn a_change_by_whoever_gets_round_that_is_found() {
    let scratch = Scratch::new();
    let hash = scratch.journal().keep(b"abc").unwrap();
    scratch.raw().execute_batch("DROP TRIGGER kept_unchanged; UPDATE kept SET bytes = x'00'").unwrap();
    let journal = scratch.journal();
    assert!(matches!(journal.kept(&hash), Err(Error::Corrupt { .. })));
    assert!(matches!(journal.verify(), Err(Error::Corrupt { .. })));
}

#[test]
fn a_journal_of_the_version_before_is_read_as_it_is_and_goes_on_as_one_of_this() {
    let scratch = Scratch::new();
    scratch.journal().begin("a", "one", 1).unwrap();
    let before = "DROP TABLE kept; PRAGMA user_version = 1";
    scratch.raw().execute_batch(before).unwrap();
    let reader = Journal::open_existing(scratch.file()).unwrap();
    assert_eq!(reader.kept(&Hash::ZERO).unwrap(), None);
    assert_eq!(reader.verify().unwrap(), Verification::Intact { records: 1 });
    drop(reader);
    let mut journal = scratch.journal();
    let hash = journal.keep(b"abc").unwrap();
    journal.append("a", 1, "two", 2).unwrap();
    assert_eq!(scratch.journal().kept(&hash).unwrap().as_deref(), Some(b"abc".as_slice()));
    assert_eq!(scratch.journal().verify().unwrap(), Verification::Intact { records: 2 });
}
