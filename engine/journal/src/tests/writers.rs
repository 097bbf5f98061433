//! Several writers: none overwrites another, and each is told.

use std::thread;
use std::time::Duration;

use super::scratch::Scratch;
use crate::{Error, Journal, Verification};

#[test]
fn the_second_of_two_writers_is_told_of_the_first() {
    let scratch = Scratch::new();
    let mut left = scratch.journal();
    let mut right = scratch.journal();
    left.begin("a", "one", 1).unwrap();
    left.append("a", 1, "left", 2).unwrap();
    assert_eq!(
        right.append("a", 1, "right", 2),
        Err(Error::Conflict { chain: "a".to_owned(), expected: 1, found: 2 })
    );
    assert_eq!(right.begin("a", "again", 3), Err(Error::ChainExists { chain: "a".to_owned() }));
    assert_eq!(
        right.append("a", 3, "ahead", 3),
        Err(Error::Conflict { chain: "a".to_owned(), expected: 3, found: 2 })
    );
    assert_eq!(
        right.append("a", 0, "zero", 3),
        Err(Error::Conflict { chain: "a".to_owned(), expected: 0, found: 2 })
    );
    right.append("a", 2, "right", 4).unwrap();
    let payloads: Vec<String> = left.records("a").unwrap().into_iter().map(|record| record.payload).collect();
    assert_eq!(payloads, ["one", "left", "right"]);
    assert_eq!(left.verify().unwrap(), Verification::Intact { records: 3 });
}

#[test]
fn many_writers_at_once_lose_nothing_and_write_nothing_twice() {
    const WRITERS: usize = 4;
    const EACH: usize = 15;
    let scratch = Scratch::new();
    scratch.journal().begin("walk", "begun", 0).unwrap();
    let path = scratch.file();
    let workers: Vec<_> = (0..WRITERS)
        .map(|writer| {
            let path = path.clone();
            thread::spawn(move || {
                let mut journal = Journal::open(path).unwrap();
                for number in 0..EACH {
                    let mut known = 1;
                    loop {
                        match journal.append("walk", known, &format!("{writer}/{number}"), 1) {
                            Ok(_) => break,
                            Err(Error::Conflict { found, .. }) => known = found,
                            Err(other) => panic!("{other}"),
                        }
                    }
                }
            })
        })
        .collect();
    workers.into_iter().for_each(|worker| worker.join().unwrap());

    let journal = scratch.journal();
    let mut payloads: Vec<String> =
        journal.records("walk").unwrap().into_iter().skip(1).map(|record| record.payload).collect();
    payloads.sort();
    let mut wanted: Vec<String> =
        (0..WRITERS).flat_map(|writer| (0..EACH).map(move |number| format!("{writer}/{number}"))).collect();
    wanted.sort();
    assert_eq!(payloads, wanted);
    assert_eq!(journal.verify().unwrap(), Verification::Intact { records: 1 + (WRITERS * EACH) as u64 });
}

#[test]
fn several_programs_may_make_the_same_journal_at_once() {
    for _ in 0..20 {
        let scratch = Scratch::new();
        let path = scratch.file();
        let workers: Vec<_> = (0..4)
            .map(|writer: u32| {
                let path = path.clone();
                thread::spawn(move || Journal::open(path)?.begin(&writer.to_string(), "begun", 0))
            })
            .collect();
        for worker in workers {
            worker.join().unwrap().unwrap();
        }
        assert_eq!(scratch.journal().verify().unwrap(), Verification::Intact { records: 4 });
    }
}

#[test]
fn a_writer_that_waits_in_vain_is_told() {
    let scratch = Scratch::new();
    let mut journal = scratch.journal();
    journal.begin("a", "one", 1).unwrap();
    let holder = scratch.raw();
    holder.execute_batch("BEGIN IMMEDIATE").unwrap();
    journal.connection.busy_timeout(Duration::from_millis(20)).unwrap();
    assert_eq!(journal.append("a", 1, "two", 2), Err(Error::Busy { path: scratch.file() }));
    assert_eq!(journal.records("a").unwrap().len(), 1, "reading goes on while another writes");
    holder.execute_batch("ROLLBACK").unwrap();
    assert_eq!(journal.append("a", 1, "two", 2).unwrap().seq, 1);
}
