//! One row as it stands in the file, checked against what it has to follow.

use rusqlite::Row;

use crate::hash::{Contents, file_hash, record_hash};
use crate::read::integer;
use crate::{Difference, Fault, Hash, Head};

pub(crate) const COLUMNS: &str = "chain, seq, at_ms, payload, previous, hash, global_seq, global_hash";

/// What the next record of a chain has to follow.
pub(crate) struct Tail {
    pub(crate) len: u64,
    pub(crate) hash: Hash,
}

impl Tail {
    pub(crate) const START: Tail = Tail { len: 0, hash: Hash::ZERO };
}

/// A row as it stands: what was tampered with need not be text nor 32 bytes long, and a number may be anything.
pub(crate) struct Stored {
    pub(crate) chain: Vec<u8>,
    seq: i64,
    at_ms: i64,
    payload: Vec<u8>,
    previous: Vec<u8>,
    hash: Vec<u8>,
    global_seq: i64,
    global_hash: Vec<u8>,
    before: Vec<u8>,
}

impl Stored {
    pub(crate) fn read(row: &Row<'_>) -> rusqlite::Result<Stored> {
        let bytes = |column| -> rusqlite::Result<Vec<u8>> {
            Ok(row.get_ref(column)?.as_bytes_or_null().ok().flatten().unwrap_or_default().to_vec())
        };
        Ok(Stored {
            chain: bytes(0)?,
            seq: integer(row, 1)?,
            at_ms: integer(row, 2)?,
            payload: bytes(3)?,
            previous: bytes(4)?,
            hash: bytes(5)?,
            global_seq: integer(row, 6)?,
            global_hash: bytes(7)?,
            before: bytes(8)?,
        })
    }

    /// The end of the file before this record, when only its one neighbour was read.
    pub(crate) fn neighbour(&self) -> Head {
        let len = u64::try_from(self.global_seq).unwrap_or(0);
        match Hash::from_slice(&self.before) {
            Some(hash) => Head { len, hash },
            None => Head { len: len.saturating_sub(1), hash: Hash::ZERO },
        }
    }

    /// Checks this record against what it has to follow, and makes it what the next of its chain has to follow.
    /// Gives the hash of its place in the file.
    pub(crate) fn check(&self, tail: &mut Tail, file: &Head) -> Result<Hash, Difference> {
        if u64::try_from(self.global_seq) != Ok(file.len) {
            return Err(Difference::RemovedBefore { global_seq: file.len });
        }
        if u64::try_from(self.seq) != Ok(tail.len) {
            return Err(Difference::Sequence { due: tail.len });
        }
        if self.previous != tail.hash.as_bytes() {
            return Err(Difference::Previous);
        }
        let hash = record_hash(&Contents {
            chain: &self.chain,
            seq: tail.len,
            at_ms: self.at_ms,
            previous: &self.previous,
            payload: &self.payload,
        });
        let place = file_hash(file.len, &file.hash, &hash);
        let in_place = self.global_hash == place.as_bytes();
        let is_text = std::str::from_utf8(&self.chain).is_ok() && std::str::from_utf8(&self.payload).is_ok();
        match (self.hash == hash.as_bytes(), in_place) {
            (true, true) if is_text => {
                *tail = Tail { len: tail.len + 1, hash };
                Ok(place)
            }
            (true, true) | (false, false) => Err(Difference::Contents),
            (false, true) => Err(Difference::Hash),
            (true, false) => Err(Difference::Place),
        }
    }

    pub(crate) fn fault(&self, what: Difference) -> Fault {
        Fault { chain: String::from_utf8_lossy(&self.chain).into_owned(), seq: self.seq, what }
    }
}
