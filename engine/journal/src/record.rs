//! What a journal gives back: plain values.

use crate::Hash;

/// Longest payload, in bytes: 1 MiB. A payload is one event; anything longer is a mistake or an attack.
pub const PAYLOAD_BYTES_MAX: usize = 1 << 20;

/// Longest chain id, in bytes.
pub const CHAIN_ID_BYTES_MAX: usize = 256;

/// One record of a chain, as it stands on the disk.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Record {
    /// Id of the chain it belongs to.
    pub chain: String,
    /// Number in its chain, from 0.
    pub seq: u64,
    /// The time the caller gave, in milliseconds; the journal does not judge it.
    pub at_ms: i64,
    /// The text the caller gave.
    pub payload: String,
    /// Hash of the record before it in its chain; [`Hash::ZERO`] for the first.
    pub previous: Hash,
    /// Hash over all of the above.
    pub hash: Hash,
}

/// One chain without its payloads.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ChainSummary {
    /// Id of the chain.
    pub id: String,
    /// Time of its first record, in milliseconds.
    pub first_at: i64,
    /// Time of its last record, in milliseconds; may lie before `first_at` if a clock went backwards.
    pub last_at: i64,
    /// Number of records, at least 1. What [`crate::Journal::append`] wants as `expected_len`.
    pub len: u64,
}

/// The end of the whole file. Noted elsewhere, it proves later that nothing up to here was removed or rewritten.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Head {
    /// Number of records in the file.
    pub len: u64,
    /// File hash of the last record; [`Hash::ZERO`] in an empty journal.
    pub hash: Hash,
}
