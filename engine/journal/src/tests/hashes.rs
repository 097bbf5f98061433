//! Known answers, so that the encoding cannot change unnoticed.

use super::scratch::Scratch;
use crate::{Hash, Journal};

/// Computed apart from this program with Python's `hashlib`, from the table in `hash.rs` (read: our own table):
/// `rec = lambda c,s,t,p,d: sha256(b"gatewright journal record\n"+pack(">IQ",1,len(c))+c+pack(">Qq",s,t)+p+pack(">Q",len(d))+d)`
/// `place = lambda g,p,h: sha256(b"gatewright journal file\n"+pack(">IQ",1,g)+p+h)`
#[test]
fn two_records_have_the_hashes_computed_elsewhere() {
    let scratch = Scratch::new();
    let mut journal = scratch.journal();
    let first = journal.begin("walk-1", "begun Δ\0", -1).unwrap();
    assert_eq!(first.hash.to_string(), "f1f15aa63dfd385abd74c5939965de09e2c3d59eb8fe1c5bc5d25403eb647ef9");
    assert_eq!(
        journal.head().unwrap().hash.to_string(),
        "a74d04d96839c789a828a1355542d482b169a0b2b77621ffec60da7be7090207"
    );
    let second = journal.append("walk-1", 1, "gate opened", 1_700_000_000_000).unwrap();
    assert_eq!(second.hash.to_string(), "2e0d3821afc22ce349b5c32251b80ba91eb96ba7aca316ae55a11afca31a1560");
    assert_eq!(
        journal.head().unwrap().hash.to_string(),
        "30e4bbd83e4963abd0c65cfb0b1525e53b7dc74c8ee48a5fb74dce7fa098c264"
    );
}

#[test]
fn the_line_between_name_and_payload_counts() {
    let hash =
        |chain: &str, payload: &str| Journal::in_memory().unwrap().begin(chain, payload, 0).unwrap().hash;
    assert_ne!(hash("ab", "c"), hash("a", "bc"));
    assert_eq!(hash("ab", "c"), hash("ab", "c"));
}

#[test]
fn a_noted_hash_is_read_back_and_anything_else_is_not() {
    let hash = Journal::in_memory().unwrap().begin("a", "one", 0).unwrap().hash;
    let noted = hash.to_string();
    assert_eq!(noted.parse(), Ok(hash));
    assert_eq!(noted.to_uppercase().parse(), Ok(hash));
    for wrong in
        ["", &noted[1..], &format!("{noted}0"), &format!("{}g", &noted[1..]), &noted.replace('a', "é")]
    {
        if wrong != noted {
            assert!(wrong.parse::<Hash>().is_err(), "{wrong}");
        }
    }
    assert_eq!(Hash::ZERO.as_bytes(), &[0; 32]);
}
