//! Each way of changing the file behind the journal's back is refused by the guards and, those gone, found.

use super::scratch::Scratch;
use crate::hash::{Contents, file_hash, record_hash};
use crate::{Difference, Error, Fault, Hash, Journal, Verification};

const UNGUARD: &str = "DROP TRIGGER record_order; DROP TRIGGER record_unchanged; DROP TRIGGER record_kept;";

/// Two walks that take turns. In the file: 0 a0, 1 b0, 2 a1, 3 b1, 4 a2, 5 b2.
fn two_walks() -> Scratch {
    let scratch = Scratch::new();
    let mut journal = scratch.journal();
    for chain in ["a", "b"] {
        journal.begin(chain, "begun", 1).unwrap();
    }
    for number in 1..3 {
        for chain in ["a", "b"] {
            journal.append(chain, number, &format!("{chain}{number}"), 1).unwrap();
        }
    }
    scratch
}

fn broken(chain: &str, seq: i64, what: Difference) -> Verification {
    Verification::Broken(Fault { chain: chain.to_owned(), seq, what })
}

/// Runs `sql` without the guards; gives what the whole file says then.
fn tampered(sql: &str) -> (Scratch, Journal) {
    let scratch = two_walks();
    scratch.raw().execute_batch(&format!("{UNGUARD}{sql}")).unwrap();
    let journal = scratch.journal();
    (scratch, journal)
}

#[track_caller]
fn check(sql: &str, chain: &str, seq: i64, what: Difference) {
    let (_scratch, journal) = tampered(sql);
    assert_eq!(journal.verify().unwrap(), broken(chain, seq, what), "{sql}");
}

#[test]
fn without_tampering_nothing_is_found() {
    let (_scratch, journal) = tampered("");
    assert_eq!(journal.verify().unwrap(), Verification::Intact { records: 6 });
}

#[test]
fn the_guards_refuse_every_statement_that_would_change_a_record() {
    let scratch = two_walks();
    for sql in [
        "UPDATE record SET payload = 'x' WHERE global_seq = 2",
        "UPDATE record SET at_ms = 2",
        "DELETE FROM record WHERE global_seq = 5",
        "DELETE FROM record",
        "INSERT OR REPLACE INTO record SELECT global_seq, chain, seq, 7, payload, previous, hash, global_hash
         FROM record WHERE global_seq = 5",
        "REPLACE INTO record SELECT global_seq + 1, chain, seq, 7, payload, previous, hash, global_hash
         FROM record WHERE global_seq = 5",
        "INSERT INTO record SELECT 7, chain, seq + 1, at_ms, payload, previous, hash, global_hash
         FROM record WHERE global_seq = 5",
        "INSERT INTO record SELECT 6, chain, seq + 2, at_ms, payload, previous, hash, global_hash
         FROM record WHERE global_seq = 5",
        "INSERT INTO record (chain, seq, at_ms, payload, previous, hash, global_hash)
         SELECT chain, seq + 1, at_ms, payload, previous, hash, global_hash FROM record WHERE global_seq = 5",
    ] {
        assert!(scratch.raw().execute(sql, []).is_err(), "{sql}");
    }
    assert_eq!(scratch.journal().verify().unwrap(), Verification::Intact { records: 6 });
}

#[test]
fn changed_contents_are_named() {
    check("UPDATE record SET payload = 'A1' WHERE global_seq = 2", "a", 1, Difference::Contents);
    check(
        "UPDATE record SET payload = payload || char(0) WHERE global_seq = 5",
        "b",
        2,
        Difference::Contents,
    );
    check(
        "UPDATE record SET payload = CAST(x'ff' AS TEXT) WHERE global_seq = 2",
        "a",
        1,
        Difference::Contents,
    );
    check("UPDATE record SET at_ms = 0 WHERE global_seq = 0", "a", 0, Difference::Contents);
    check("UPDATE record SET chain = 'c' WHERE global_seq = 1", "c", 0, Difference::Contents);
}

#[test]
fn changed_hashes_are_named() {
    check("UPDATE record SET hash = zeroblob(32) WHERE global_seq = 3", "b", 1, Difference::Hash);
    check("UPDATE record SET previous = zeroblob(32) WHERE global_seq = 3", "b", 1, Difference::Previous);
    check("UPDATE record SET global_hash = zeroblob(32) WHERE global_seq = 3", "b", 1, Difference::Place);
    check(
        "PRAGMA ignore_check_constraints = 1; UPDATE record SET hash = x'00' WHERE global_seq = 3",
        "b",
        1,
        Difference::Hash,
    );
}

/// Whatever stands in a row: its chain is listed and named, and no other is taken away with it.
#[test]
fn what_cannot_be_read_is_named_and_takes_no_other_chain_away() {
    for (change, seq, what) in [
        ("payload = CAST(x'7bff7d' AS TEXT)", 1, Difference::Contents),
        ("hash = x'00'", 1, Difference::Hash),
        ("seq = -5", -5, Difference::Sequence { due: 0 }),
    ] {
        let sql =
            format!("PRAGMA ignore_check_constraints = 1; UPDATE record SET {change} WHERE global_seq = 2");
        let (_scratch, journal) = tampered(&sql);
        assert_eq!(journal.verify_chain("a").unwrap(), broken("a", seq, what), "{change}");
        assert!(matches!(journal.verify().unwrap(), Verification::Broken(_)), "{change}");
        let chains = journal.chains().unwrap();
        let listed: Vec<_> = chains.iter().map(|chain| (&*chain.id, chain.len)).collect();
        assert_eq!(listed.len(), 2, "{change}");
        assert!(listed.contains(&("a", 3)) && listed.contains(&("b", 3)), "{change}: {listed:?}");
        assert_eq!(journal.chain_len("a").unwrap(), 3, "{change}");
        assert_eq!(journal.records("b").unwrap().len(), 3, "{change}");
        assert_eq!(journal.first_record("a").unwrap().payload, "begun", "{change}");
    }
}

#[test]
fn a_changed_order_is_named() {
    // Two records of different walks change places in the file: both walks still agree in themselves.
    let swap = "UPDATE record SET global_seq = 99 WHERE global_seq = 2;
                UPDATE record SET global_seq = 2 WHERE global_seq = 3;
                UPDATE record SET global_seq = 3 WHERE global_seq = 99;";
    check(swap, "b", 1, Difference::Place);
    // Two records of one walk change numbers.
    let renumber = "UPDATE record SET seq = 99 WHERE global_seq = 2;
                    UPDATE record SET seq = 1 WHERE global_seq = 4;
                    UPDATE record SET seq = 2 WHERE global_seq = 99 OR global_seq = 2;";
    check(renumber, "a", 2, Difference::Sequence { due: 1 });
    check("UPDATE record SET seq = 9 WHERE global_seq = 5", "b", 9, Difference::Sequence { due: 2 });
}

#[test]
fn a_removed_record_is_named_wherever_it_stood() {
    let removed = |global_seq| Difference::RemovedBefore { global_seq };
    check("DELETE FROM record WHERE global_seq = 0", "b", 0, removed(0));
    check("DELETE FROM record WHERE global_seq = 2", "b", 1, removed(2));
    // The last record of `a`, while `b` goes on.
    check("DELETE FROM record WHERE global_seq = 4", "b", 2, removed(4));
    // The whole of `a`.
    check("DELETE FROM record WHERE chain = 'a'", "b", 0, removed(0));
    // Closing the gap does not hide it.
    check(
        "DELETE FROM record WHERE global_seq = 4; UPDATE record SET global_seq = 4 WHERE global_seq = 5",
        "b",
        2,
        Difference::Place,
    );
}

#[test]
fn an_inserted_record_is_named() {
    check(
        "INSERT INTO record SELECT 6, 'a', 3, at_ms, 'forged', hash, hash, global_hash
         FROM record WHERE global_seq = 4",
        "a",
        3,
        Difference::Contents,
    );
}

/// Whoever computes every hash anew is found only by a noted head; but what is not text `records` could not read.
#[test]
fn a_payload_that_is_not_text_is_named_even_with_hashes_to_match() {
    let scratch = two_walks();
    let journal = scratch.journal();
    let last = journal.records("b").unwrap().pop().unwrap();
    let forged = record_hash(&Contents {
        chain: b"b",
        seq: last.seq,
        at_ms: last.at_ms,
        previous: last.previous.as_bytes(),
        payload: &[0xff],
    });
    let before: Vec<u8> = scratch
        .raw()
        .query_row("SELECT global_hash FROM record WHERE global_seq = 4", [], |row| row.get(0))
        .unwrap();
    let place = file_hash(5, &Hash::from_slice(&before).unwrap(), &forged);
    scratch
        .raw()
        .execute_batch(&format!(
            "{UNGUARD}UPDATE record SET payload = CAST(x'ff' AS TEXT), hash = x'{forged}', global_hash = x'{place}'
             WHERE global_seq = 5"
        ))
        .unwrap();
    assert_eq!(journal.verify().unwrap(), broken("b", 2, Difference::Contents));
    let answer = journal.records("b");
    assert!(matches!(answer, Err(Error::Corrupt { .. })), "{answer:?}");
}

#[test]
fn one_chain_is_checked_alone() {
    let (_scratch, journal) = tampered("UPDATE record SET payload = 'A1' WHERE global_seq = 2");
    assert_eq!(journal.verify_chain("a").unwrap(), broken("a", 1, Difference::Contents));
    assert_eq!(journal.verify_chain("b").unwrap(), Verification::Intact { records: 3 });

    let (_scratch, journal) = tampered("DELETE FROM record WHERE global_seq = 2");
    assert_eq!(journal.verify_chain("a").unwrap(), broken("a", 2, Difference::Sequence { due: 1 }));
    assert_eq!(
        journal.verify_chain("b").unwrap(),
        broken("b", 1, Difference::RemovedBefore { global_seq: 2 })
    );

    let (_scratch, journal) = tampered("UPDATE record SET hash = zeroblob(32) WHERE global_seq = 4");
    assert_eq!(journal.verify_chain("a").unwrap(), broken("a", 2, Difference::Hash));
    assert_eq!(journal.verify_chain("none"), Err(Error::UnknownChain { chain: "none".to_owned() }));
}

/// A known limit, said in the crate's documentation: the file alone cannot tell, a head noted elsewhere can.
#[test]
fn removing_the_end_of_the_file_is_found_only_with_a_noted_head() {
    let scratch = two_walks();
    let noted = scratch.journal().head().unwrap();
    scratch.raw().execute_batch(&format!("{UNGUARD}DELETE FROM record WHERE global_seq >= 4")).unwrap();
    let mut journal = scratch.journal();
    assert_eq!(journal.verify().unwrap(), Verification::Intact { records: 4 });
    assert!(!journal.extends(&noted).unwrap());
    for (chain, payload) in [("a", "another"), ("b", "b2")] {
        journal.append(chain, 2, payload, 1).unwrap();
    }
    assert_eq!(journal.verify().unwrap(), Verification::Intact { records: 6 });
    assert!(!journal.extends(&noted).unwrap());
}

#[test]
fn a_record_that_is_not_taken_is_never_acknowledged() {
    let scratch = two_walks();
    scratch
        .raw()
        .execute_batch("CREATE TRIGGER silent BEFORE INSERT ON record BEGIN SELECT RAISE(IGNORE); END")
        .unwrap();
    let answer = scratch.journal().append("a", 3, "a3", 1);
    assert!(matches!(answer, Err(Error::Corrupt { .. })), "{answer:?}");
    assert_eq!(scratch.journal().records("a").unwrap().len(), 3);
}

#[test]
fn a_missing_table_and_a_damaged_index_are_called_damage() {
    let scratch = two_walks();
    scratch.raw().execute_batch("DROP TABLE record").unwrap();
    let answer = scratch.journal().verify();
    assert!(matches!(answer, Err(Error::Corrupt { .. })), "{answer:?}");

    // An index that no longer lists a record would hide it from `records`.
    let scratch = two_walks();
    let raw = scratch.raw();
    raw.execute_batch(
        "PRAGMA writable_schema = 1;
         UPDATE sqlite_schema SET sql = replace(sql, 'UNIQUE (chain, seq)', 'UNIQUE (seq, chain)') WHERE name = 'record';",
    )
    .unwrap();
    drop(raw);
    let answer = scratch.journal().verify();
    assert!(matches!(answer, Err(Error::Corrupt { .. })), "{answer:?}");
}
