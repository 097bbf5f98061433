//! What was written comes back, in order, through any handle.

use super::scratch::Scratch;
use crate::{ChainSummary, Difference, Fault, Hash, Head, Journal, Verification};

#[test]
fn records_come_back_as_they_were_acknowledged() {
    let scratch = Scratch::new();
    let mut journal = scratch.journal();
    let first = journal.begin("a", "one", 10).unwrap();
    let other = journal.begin("b", "uno", 11).unwrap();
    let second = journal.append("a", 1, "two", 9).unwrap();

    assert_eq!((first.seq, first.previous), (0, Hash::ZERO));
    assert_eq!((second.seq, second.previous), (1, first.hash));
    assert_eq!(other.previous, Hash::ZERO);
    drop(journal);

    for reopened in [scratch.journal(), Journal::open_existing(scratch.file()).unwrap()] {
        assert_eq!(reopened.records("a").unwrap(), [first.clone(), second.clone()]);
        assert_eq!(reopened.records("b").unwrap(), std::slice::from_ref(&other));
        assert_eq!(reopened.verify().unwrap(), Verification::Intact { records: 3 });
        assert_eq!(reopened.verify_chain("a").unwrap(), Verification::Intact { records: 2 });
        assert_eq!(reopened.verify_chain("b").unwrap(), Verification::Intact { records: 1 });
    }
}

#[test]
fn chains_are_listed_in_the_order_of_their_beginning() {
    let mut journal = Journal::in_memory().unwrap();
    journal.begin("zulu", "", 1).unwrap();
    journal.begin("alpha", "", 5).unwrap();
    journal.append("zulu", 1, "", 3).unwrap();
    let summary =
        |id: &str, first_at, last_at, len| ChainSummary { id: id.to_owned(), first_at, last_at, len };
    assert_eq!(journal.chains().unwrap(), [summary("zulu", 1, 3, 2), summary("alpha", 5, 5, 1)]);
}

#[test]
fn an_empty_journal_has_no_chains_and_is_intact() {
    let journal = Journal::in_memory().unwrap();
    assert_eq!(journal.chains().unwrap(), []);
    assert_eq!(journal.head().unwrap(), Head { len: 0, hash: Hash::ZERO });
    assert_eq!(journal.verify().unwrap(), Verification::Intact { records: 0 });
}

#[test]
fn any_text_and_any_time_come_back_whole() {
    let scratch = Scratch::new();
    let texts = [
        "",
        "\0",
        "a\0b",
        "\u{feff}ΔΩ 中文 👷\u{200d}🔧",
        "e\u{301}",
        "line\r\nline",
        "'; DROP TABLE record; --",
    ];
    let mut journal = scratch.journal();
    for (number, text) in texts.iter().enumerate() {
        let time = if number % 2 == 0 { i64::MIN } else { i64::MAX };
        journal.begin(&format!("{text}\0{number}"), text, time).unwrap();
    }
    drop(journal);
    let journal = scratch.journal();
    for (number, text) in texts.iter().enumerate() {
        let records = journal.records(&format!("{text}\0{number}")).unwrap();
        assert_eq!(records.len(), 1);
        assert_eq!(records[0].payload, *text);
        assert_eq!(records[0].at_ms, if number % 2 == 0 { i64::MIN } else { i64::MAX });
    }
    assert_eq!(journal.verify().unwrap(), Verification::Intact { records: texts.len() as u64 });
}

#[test]
fn a_noted_head_is_found_again_in_a_grown_file_and_in_no_other() {
    let mut journal = Journal::in_memory().unwrap();
    let empty = journal.head().unwrap();
    journal.begin("a", "one", 1).unwrap();
    let noted = journal.head().unwrap();
    journal.append("a", 1, "two", 2).unwrap();
    let later = journal.head().unwrap();

    assert_eq!((noted.len, later.len), (1, 2));
    assert!(journal.extends(&empty).unwrap());
    assert!(journal.extends(&noted).unwrap());
    assert!(journal.extends(&later).unwrap());
    assert!(!journal.extends(&Head { len: 1, hash: later.hash }).unwrap());
    assert!(!journal.extends(&Head { len: 3, hash: later.hash }).unwrap());
    assert!(!journal.extends(&Head { len: u64::MAX, hash: later.hash }).unwrap());
    assert!(!journal.extends(&Head { len: 0, hash: later.hash }).unwrap());

    let mut other = Journal::in_memory().unwrap();
    other.begin("a", "another", 1).unwrap();
    assert!(!other.extends(&noted).unwrap());
}

#[test]
fn names_that_mean_something_to_sqlite_are_names_of_files() {
    // SQLite would keep these in memory, and a walk with them. Only relative names are read so; every other test
    // uses absolute ones, so the change of folder troubles none.
    let scratch = Scratch::new();
    let before = std::env::current_dir().unwrap();
    std::env::set_current_dir(scratch.folder()).unwrap();
    for name in [":memory:", "file:elsewhere?mode=memory"] {
        Journal::open(name).unwrap().begin("a", "kept", 1).unwrap();
        assert!(scratch.folder().join(name).is_file());
        assert_eq!(Journal::open_existing(name).unwrap().records("a").unwrap()[0].payload, "kept");
    }
    assert!(Journal::open("").is_err());
    std::env::set_current_dir(before).unwrap();
}

#[test]
fn commits_are_synced_and_the_log_is_on() {
    let scratch = Scratch::new();
    let journal = scratch.journal();
    let number =
        |name: &str| journal.connection.pragma_query_value(None, name, |row| row.get::<_, i64>(0)).unwrap();
    // 2 is FULL: https://www.sqlite.org/pragma.html#pragma_synchronous (memory)
    assert_eq!(number("synchronous"), 2);
    assert_eq!(number("fullfsync"), 1);
    assert_eq!(number("busy_timeout"), 5000);
    let mode: String = journal.connection.pragma_query_value(None, "journal_mode", |row| row.get(0)).unwrap();
    assert_eq!(mode, "wal");
}

#[test]
fn a_fault_is_told_with_the_chain_and_the_record() {
    for what in [
        Difference::RemovedBefore { global_seq: 4 },
        Difference::Sequence { due: 2 },
        Difference::Previous,
        Difference::Contents,
        Difference::Hash,
        Difference::Place,
    ] {
        let text = Fault { chain: "walk-9".to_owned(), seq: 3, what }.to_string();
        assert!(text.contains("`walk-9`") && text.contains("record 3"), "{text}");
    }
}
