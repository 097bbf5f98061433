//! Append-only, hash-chained, durable records; knows no procedures. [`Storage`] is what is asked of whatever holds them, a [`Journal`]
//! the one that is a file.
//!
//! A journal is one SQLite file. It holds many *chains* (one a walk), each a row of text payloads counted from 0.
//! Every record carries the hash of the one before it in its chain, and a second hash ties it to the record
//! before it in the whole file.
//!
//! # What is promised
//! - When [`Journal::begin`] or [`Journal::append`] returns `Ok`, the record is on the disk (write-ahead log,
//!   synced at each commit). After a crash or a power cut every such record is there, whole, and no part of any
//!   other. When they return an error, the record is normally not kept; only when the disk failed during the
//!   commit itself may it be found after the next opening. Read the chain again before a second try: `append`
//!   then answers [`Error::Conflict`] instead of writing twice.
//! - What records name by its hash ([`Journal::keep`]) is on the disk when that returns, whole, and once.
//! - Two writers never both advance a chain from the same length.
//! - Records are never changed or removed. Triggers refuse it, and [`Journal::verify`] finds it where someone
//!   with the rights to the file got round them.
//!
//! # What verification finds, and what it cannot
//! It finds a changed payload, time, number, chain name or hash, a changed order, a record removed from the
//! middle of the file, a whole chain removed, and the last records of a chain removed while later records of
//! other chains remain; and a change of what is kept, but not that it was removed: whoever needs it finds that
//! ([`Journal::kept`]). There is no secret key in the file. So it cannot find the removal of the very last
//! records of the file, nor a rewriting by someone who computes every later hash anew. Against both, note
//! [`Journal::head`] elsewhere (on paper, in a mail, on a printed card) and ask [`Journal::extends`] later.
//!
//! # Keeping the file
//! SQLite keeps a `-wal` and a `-shm` file beside the journal while it is open. The `-wal` file holds records
//! not yet moved into the main file: copy both together. Keep the journal on a local disk; the write-ahead log
//! does not work over a network share. The disk must do what it says when it reports a sync as done.

mod error;
mod fault;
mod hash;
mod kept;
mod open;
mod read;
mod record;
mod schema;
mod storage;
mod stored;
mod summary;
mod together;
mod verify;
mod write;

#[cfg(test)]
mod tests;

pub use error::Error;
pub use fault::{Difference, Fault};
pub use hash::Hash;
pub use open::Journal;
pub use record::{CHAIN_ID_BYTES_MAX, ChainSummary, Head, PAYLOAD_BYTES_MAX, Record};
pub use storage::Storage;
pub use summary::{Summary, Told};
pub use together::{together, together_in};
pub use verify::Verification;
