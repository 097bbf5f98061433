//! The only two ways in which records are added.

use rusqlite::{Connection, OptionalExtension, params};

use crate::hash::{Contents, file_hash, record_hash};
use crate::read::{count, hash};
use crate::record::{CHAIN_ID_BYTES_MAX, PAYLOAD_BYTES_MAX};
use crate::{Error, Hash, Journal, Record};

impl Journal {
    /// Begins a chain with its first record; `at_ms` is in milliseconds. On the disk before it returns.
    ///
    /// # Errors
    /// [`Error::ChainExists`], [`Error::BadChainId`], [`Error::PayloadTooLong`], or that of the file or disk.
    pub fn begin(&mut self, chain: &str, payload: &str, at_ms: i64) -> Result<Record, Error> {
        if chain.is_empty() || chain.len() > CHAIN_ID_BYTES_MAX {
            return Err(Error::BadChainId { bytes: chain.len() });
        }
        // Nobody takes the name of one whose records were removed: what was told of it is all that is left to say so.
        if self.is_taken(chain)? {
            return Err(Error::ChainExists { chain: chain.to_owned() });
        }
        self.write(chain, payload, at_ms, |tail| match tail {
            Some(_) => Err(Error::ChainExists { chain: chain.to_owned() }),
            None => Ok(Tail { len: 0, hash: Hash::ZERO }),
        })
    }

    /// Adds a record to a chain of which the caller knows `expected_len` records; `at_ms` is in milliseconds.
    /// On the disk before it returns.
    ///
    /// # Errors
    /// [`Error::Conflict`] when the chain has another length, [`Error::UnknownChain`], [`Error::PayloadTooLong`],
    /// or that of the file or disk.
    pub fn append(
        &mut self,
        chain: &str,
        expected_len: u64,
        payload: &str,
        at_ms: i64,
    ) -> Result<Record, Error> {
        self.write(chain, payload, at_ms, |tail| match tail {
            None => Err(Error::UnknownChain { chain: chain.to_owned() }),
            Some(tail) if tail.len != expected_len => {
                Err(Error::Conflict { chain: chain.to_owned(), expected: expected_len, found: tail.len })
            }
            Some(tail) => Ok(tail),
        })
    }

    /// Looks at the tail and writes under one write lock, so that nothing comes between the two.
    fn write(
        &mut self,
        chain: &str,
        payload: &str,
        at_ms: i64,
        accept: impl FnOnce(Option<Tail>) -> Result<Tail, Error>,
    ) -> Result<Record, Error> {
        if payload.len() > PAYLOAD_BYTES_MAX {
            return Err(Error::PayloadTooLong { bytes: payload.len() });
        }
        let path = self.path().to_path_buf();
        self.written(|connection| {
            let sqlite = |error: rusqlite::Error| Error::from_sqlite(&path, &error);
            let tail = accept(chain_tail(connection, chain).map_err(sqlite)?)?;
            let file = file_tail(connection).map_err(sqlite)?;
            let record = chained(chain, payload, at_ms, &tail);
            if insert(connection, &record, &file).map_err(sqlite)? != 1 {
                let detail = "it did not take a record, without saying why".to_owned();
                return Err(Error::Corrupt { path: path.clone(), detail });
            }
            Ok(record)
        })
    }
}

/// The end of a chain or of the file: how many records, and the hash the next one follows.
struct Tail {
    len: u64,
    hash: Hash,
}

fn chain_tail(connection: &Connection, chain: &str) -> rusqlite::Result<Option<Tail>> {
    connection
        .prepare_cached("SELECT seq, hash FROM record WHERE chain = ?1 ORDER BY seq DESC LIMIT 1")?
        .query_row([chain], |row| Ok(Tail { len: count(row, 0)? + 1, hash: hash(row, 1)? }))
        .optional()
}

fn file_tail(connection: &Connection) -> rusqlite::Result<Tail> {
    let tail = connection
        .prepare_cached("SELECT global_seq, global_hash FROM record ORDER BY global_seq DESC LIMIT 1")?
        .query_row([], |row| Ok(Tail { len: count(row, 0)? + 1, hash: hash(row, 1)? }))
        .optional()?;
    Ok(tail.unwrap_or(Tail { len: 0, hash: Hash::ZERO }))
}

fn chained(chain: &str, payload: &str, at_ms: i64, tail: &Tail) -> Record {
    let hash = record_hash(&Contents {
        chain: chain.as_bytes(),
        seq: tail.len,
        at_ms,
        previous: tail.hash.as_bytes(),
        payload: payload.as_bytes(),
    });
    Record {
        chain: chain.to_owned(),
        seq: tail.len,
        at_ms,
        payload: payload.to_owned(),
        previous: tail.hash,
        hash,
    }
}

fn insert(connection: &Connection, record: &Record, file: &Tail) -> rusqlite::Result<usize> {
    let place = file_hash(file.len, &file.hash, &record.hash);
    connection
        .prepare_cached(
            "INSERT INTO record (global_seq, chain, seq, at_ms, payload, previous, hash, global_hash)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
        )?
        .execute(params![
            file.len as i64,
            record.chain,
            record.seq as i64,
            record.at_ms,
            record.payload,
            record.previous.as_bytes(),
            record.hash.as_bytes(),
            place.as_bytes(),
        ])
}
