//! Limits of size, and that many records stay quick.

use std::time::{Duration, Instant};

use super::scratch::Scratch;
use crate::{CHAIN_ID_BYTES_MAX, Error, Journal, PAYLOAD_BYTES_MAX, Verification};

#[test]
fn a_payload_of_the_limit_is_kept_and_one_byte_more_is_refused() {
    let scratch = Scratch::new();
    let mut journal = scratch.journal();
    let longest = "x".repeat(PAYLOAD_BYTES_MAX);
    let longer = "x".repeat(PAYLOAD_BYTES_MAX + 1);
    let refused = Err(Error::PayloadTooLong { bytes: PAYLOAD_BYTES_MAX + 1 });
    assert_eq!(journal.begin("a", &longer, 1), refused);
    journal.begin("a", &longest, 1).unwrap();
    assert_eq!(journal.append("a", 1, &longer, 2), refused);
    assert_eq!(journal.records("a").unwrap()[0].payload, longest);
    assert_eq!(journal.verify().unwrap(), Verification::Intact { records: 1 });
}

#[test]
fn the_limit_counts_bytes_not_letters() {
    let text = "Ω".repeat(PAYLOAD_BYTES_MAX / 2 + 1);
    let mut journal = Journal::in_memory().unwrap();
    assert_eq!(journal.begin("a", &text, 1), Err(Error::PayloadTooLong { bytes: PAYLOAD_BYTES_MAX + 2 }));
}

#[test]
fn a_chain_id_is_neither_empty_nor_endless() {
    let mut journal = Journal::in_memory().unwrap();
    assert_eq!(journal.begin("", "", 1), Err(Error::BadChainId { bytes: 0 }));
    let longer = "x".repeat(CHAIN_ID_BYTES_MAX + 1);
    assert_eq!(journal.begin(&longer, "", 1), Err(Error::BadChainId { bytes: CHAIN_ID_BYTES_MAX + 1 }));
    journal.begin(&longer[1..], "", 1).unwrap();
}

/// In memory, so that the speed of the disk is not what is measured; the bound is some ten times what a slow
/// machine needs, and far below what work growing with the square of the records would take.
#[test]
fn ten_thousand_records_are_quick() {
    let started = Instant::now();
    let mut journal = Journal::in_memory().unwrap();
    for chain in 0..10 {
        journal.begin(&format!("walk-{chain}"), "begun", 0).unwrap();
    }
    for number in 1..1000 {
        for chain in 0..10 {
            journal.append(&format!("walk-{chain}"), number, "{\"event\":\"gate opened\"}", 1).unwrap();
        }
    }
    assert_eq!(journal.verify().unwrap(), Verification::Intact { records: 10_000 });
    assert_eq!(journal.records("walk-7").unwrap().len(), 1000);
    assert!(journal.chains().unwrap().iter().all(|chain| chain.len == 1000));
    assert!(started.elapsed() < Duration::from_secs(20), "took {:?}", started.elapsed());
}
