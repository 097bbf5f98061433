//! What lists tell of a chain, and several writes in one commit.

use std::panic::{AssertUnwindSafe, catch_unwind};

use super::scratch::Scratch;
use crate::{Difference, Error, Journal, Summary, Told, Verification};

fn summary(line: &str, token: Option<&str>) -> Summary {
    Summary { token: token.map(str::to_owned), line: line.to_owned(), notes: format!("of {line}") }
}

fn told(journal: &Journal) -> (Vec<Told>, bool) {
    let mut all = Vec::new();
    let is_all = journal.told(true, |told| all.push(told)).unwrap();
    (all, is_all)
}

fn two(journal: &mut Journal) {
    journal.begin("a", "1", 10).unwrap();
    journal.begin("b", "1", 20).unwrap();
    journal.append("a", 1, "2", 30).unwrap();
    journal.tell("a", &summary("first", Some("key"))).unwrap();
    journal.tell("b", &summary("second", None)).unwrap();
    // Told once more it stays where it is.
    journal.tell("a", &summary("first", Some("key"))).unwrap();
}

#[test]
fn it_is_told_in_the_order_of_beginnings_with_what_the_records_say() {
    let scratch = Scratch::new();
    two(&mut scratch.journal());
    let journal = Journal::open_existing(scratch.file()).unwrap();
    let (all, is_all) = told(&journal);
    assert!(is_all);
    let seen: Vec<_> = all.iter().map(|one| (&*one.chain.id, &*one.line, &*one.notes)).collect();
    assert_eq!(seen, [("a", "first", "of first"), ("b", "second", "of second")]);
    assert_eq!(all.iter().map(|one| one.chain.clone()).collect::<Vec<_>>(), journal.chains().unwrap());
    assert_eq!(all[0].hash, journal.records("a").unwrap()[1].hash);
    assert_eq!(journal.told_of("a").unwrap().as_ref(), Some(&all[0]));
    assert_eq!(journal.begun_under("key").unwrap(), ["a"]);
    assert!(journal.begun_under("other").unwrap().is_empty());
    assert_eq!(journal.chains_since(2, 9).unwrap(), ["a"]);
    assert_eq!(journal.verify().unwrap(), Verification::Intact { records: 3 });
}

#[test]
fn a_record_of_which_nothing_is_told_is_missed() {
    let scratch = Scratch::new();
    let mut journal = scratch.journal();
    assert!(told(&journal).1);
    two(&mut journal);
    journal.append("b", 1, "2", 40).unwrap();
    assert!(!told(&journal).1);
    let Verification::Broken(fault) = journal.verify().unwrap() else { panic!("it is not told") };
    assert_eq!((&*fault.chain, fault.seq, fault.what), ("b", 1, Difference::NotTold));
    journal.tell("b", &summary("second", None)).unwrap();
    assert!(told(&journal).1);
    let unknown = journal.tell("c", &summary("third", None));
    assert!(matches!(unknown, Err(Error::UnknownChain { .. })));
}

#[test]
fn what_was_told_and_changed_is_not_told() {
    let columns =
        ["chain = 'c'", "len = 9", "first_at = 9", "last_at = 9", "hash = zeroblob(32)", "token = 'x'"];
    let texts = ["line = 'x'", "notes = 'x'", "seal = 9", "noted = 9"];
    for change in columns.into_iter().chain(texts) {
        let scratch = Scratch::new();
        two(&mut scratch.journal());
        scratch.raw().execute_batch(&format!("UPDATE summary SET {change} WHERE chain = 'a'")).unwrap();
        let (all, is_all) = told(&scratch.journal());
        assert!(!is_all, "{change}");
        assert_eq!(all.iter().map(|one| &*one.chain.id).collect::<Vec<_>>(), ["b"], "{change}");
    }
    let scratch = Scratch::new();
    two(&mut scratch.journal());
    assert!(scratch.raw().execute_batch("DELETE FROM summary").is_err());
}

/// Nothing else finds that the very last records of a file are gone.
#[test]
fn the_last_records_of_a_chain_are_missed() {
    for (gone, chain, seq) in [("chain = 'a' AND seq = 1", "a", 1), ("global_seq > 0", "a", 1)] {
        let scratch = Scratch::new();
        two(&mut scratch.journal());
        let sql = format!("DROP TRIGGER record_kept; DELETE FROM record WHERE {gone}");
        scratch.raw().execute_batch(&sql).unwrap();
        let journal = scratch.journal();
        for verification in [journal.verify().unwrap(), journal.verify_chain("a").unwrap()] {
            let Verification::Broken(fault) = verification else { panic!("{gone}") };
            assert_eq!(
                (&*fault.chain, fault.seq, fault.what),
                (chain, seq, Difference::RemovedFrom { had: 2 })
            );
        }
        let rest = journal.verify_chain("b");
        assert_eq!(
            rest.is_ok_and(|rest| rest == Verification::Intact { records: 1 }),
            gone.starts_with("chain")
        );
    }
}

#[test]
fn writes_together_are_on_disk_together() {
    let scratch = Scratch::new();
    let mut journal = scratch.journal();
    let reader = Journal::open_existing(scratch.file()).unwrap();
    let refused = journal
        .together(|journal| {
            journal.begin("a", "1", 1).unwrap();
            journal.keep(b"abc").unwrap();
            let refused = journal.append("a", 5, "2", 2);
            journal.together(|journal| journal.append("a", 1, "2", 3)).unwrap().unwrap();
            assert_eq!(journal.chain_len("a").unwrap(), 2);
            assert_eq!(reader.chain_len("a").unwrap(), 0);
            refused
        })
        .unwrap();
    assert!(matches!(refused, Err(Error::Conflict { .. })));
    assert_eq!(reader.chain_len("a").unwrap(), 2);
    assert_eq!(reader.verify().unwrap(), Verification::Intact { records: 2 });
}

#[test]
fn after_a_panic_among_them_nothing_of_it_is_there_and_the_next_write_is() {
    let scratch = Scratch::new();
    let mut journal = scratch.journal();
    let panicked = catch_unwind(AssertUnwindSafe(|| {
        let _ = journal.together(|journal| {
            journal.begin("a", "1", 1).unwrap();
            panic!("of a caller");
        });
    }));
    assert!(panicked.is_err());
    journal.begin("b", "1", 1).unwrap();
    let reader = Journal::open_existing(scratch.file()).unwrap();
    assert_eq!(reader.chains().unwrap().into_iter().map(|chain| chain.id).collect::<Vec<_>>(), ["b"]);
}

/// SQLite takes back the whole of it by itself where the disk is full.
#[test]
fn where_the_file_is_full_none_of_them_is_there() {
    let scratch = Scratch::new();
    let mut journal = scratch.journal();
    journal.begin("a", "1", 1).unwrap();
    journal.connection.pragma_update(None, "max_page_count", 40).unwrap();
    let long = "x".repeat(300_000);
    let done = journal.together(|journal| {
        let first = journal.append("a", 1, "2", 2);
        let second = journal.append("a", 2, &long, 3);
        (first.is_ok(), second.is_ok(), journal.append("a", 2, "3", 4).is_ok())
    });
    let written = match done {
        Ok((true, false, third)) => 2 + u64::from(third),
        Ok(other) => panic!("{other:?}"),
        Err(Error::Full { .. }) => 1,
        Err(error) => panic!("{error}"),
    };
    let reader = Journal::open_existing(scratch.file()).unwrap();
    assert_eq!(reader.chain_len("a").unwrap(), written);
    assert_eq!(reader.verify().unwrap(), Verification::Intact { records: written });
}

/// What was told of a chain is all that is left to say that its records were removed.
#[test]
fn nobody_takes_the_name_of_a_chain_whose_records_are_gone() {
    let scratch = Scratch::new();
    two(&mut scratch.journal());
    scratch.raw().execute_batch("DROP TRIGGER record_kept; DELETE FROM record WHERE global_seq > 0").unwrap();
    let mut journal = scratch.journal();
    assert!(journal.is_taken("b").unwrap() && !journal.is_taken("c").unwrap());
    assert_eq!(journal.begin("b", "1", 50), Err(Error::ChainExists { chain: "b".to_owned() }));
    // Others are begun, and say nothing away.
    journal.begin("c", "1", 60).unwrap();
    journal.tell("c", &summary("third", None)).unwrap();
    let seen: Vec<String> = told(&journal).0.into_iter().map(|one| one.chain.id).collect();
    assert_eq!(seen, ["a", "b", "c"]);
    assert!(matches!(journal.verify().unwrap(), Verification::Broken(_)));
}

#[test]
fn what_was_told_and_changed_is_found_by_whoever_verifies() {
    for change in ["line = 'x'", "notes = 'x'", "len = 9"] {
        let scratch = Scratch::new();
        two(&mut scratch.journal());
        scratch.raw().execute_batch(&format!("UPDATE summary SET {change} WHERE chain = 'a'")).unwrap();
        assert!(matches!(scratch.journal().verify(), Err(Error::Corrupt { .. })), "{change}");
    }
}

/// As when a copy is put back while a program has the file open: nobody would find again what it writes.
#[cfg(unix)]
#[test]
fn nothing_is_taken_for_a_file_that_was_put_aside() {
    for is_replaced in [true, false] {
        let scratch = Scratch::new();
        let mut journal = scratch.journal();
        journal.begin("a", "1", 1).unwrap();
        let aside = scratch.folder().join("aside.db");
        std::fs::rename(scratch.file(), &aside).unwrap();
        if is_replaced {
            std::fs::copy(&aside, scratch.file()).unwrap();
        }
        let moved = |result: Result<(), Error>| matches!(result, Err(Error::Io { .. }));
        assert!(moved(journal.append("a", 1, "2", 2).map(|_| ())));
        assert!(moved(journal.keep(b"abc").map(|_| ())));
        assert!(moved(journal.together(|journal| _ = journal.append("a", 1, "2", 2))));
        assert_eq!(journal.chain_len("a").unwrap(), 1);
    }
}
