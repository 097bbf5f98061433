//! Computes every hash anew and names the first record that does not agree.

use std::collections::BTreeMap;
use std::fmt;

use crate::stored::{COLUMNS, Stored, Tail};
use crate::{Error, Hash, Head, Journal};

/// What checking every hash gave.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Verification {
    /// Every record looked at agrees with its hashes and its neighbours.
    Intact {
        /// How many were looked at.
        records: u64,
    },
    /// One does not; those before it, in the order looked at, do.
    Broken(Fault),
}

/// The first record that does not agree.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// Id of its chain, as it stands in the file.
    pub chain: String,
    /// Its number in the chain, from 0, as it stands in the file.
    pub seq: u64,
    /// What is wrong with it.
    pub what: Difference,
}

/// How a record differs from what the records before it and its own contents ask for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Difference {
    /// One or more records that stood right before it in the file, of this or any other chain, are gone.
    RemovedBefore {
        /// Number in the file, from 0, of the first that is gone.
        global_seq: u64,
    },
    /// Another number was due in its chain.
    Sequence {
        /// The number that was due.
        due: u64,
    },
    /// It does not name the hash of the record before it in its chain.
    Previous,
    /// Its payload, time or name was changed: they no longer give its hash.
    Contents,
    /// Its hash was changed; payload, time and name are those first written.
    Hash,
    /// The hash that fixes its place in the file was changed, or it stands in another place.
    Place,
}

impl Journal {
    /// Checks the whole file: every record, every link, no gap, and SQLite's own structure.
    ///
    /// What it cannot find is said at the top of this crate.
    ///
    /// # Errors
    /// [`Error::Corrupt`] when the file cannot be read through; else that of the file or disk.
    pub fn verify(&self) -> Result<Verification, Error> {
        let mut tails: BTreeMap<Vec<u8>, Tail> = BTreeMap::new();
        let mut file = Head { len: 0, hash: Hash::ZERO };
        let query = format!("SELECT {COLUMNS}, NULL FROM record ORDER BY global_seq");
        let mut statement = self.connection.prepare(&query).map_err(|error| self.sqlite(&error))?;
        let mut rows = statement.query([]).map_err(|error| self.sqlite(&error))?;
        while let Some(row) = rows.next().map_err(|error| self.sqlite(&error))? {
            let stored = Stored::read(row).map_err(|error| self.sqlite(&error))?;
            let tail = tails.entry(stored.chain.clone()).or_insert(Tail::START);
            match stored.check(tail, &file) {
                Ok(place) => file = Head { len: file.len + 1, hash: place },
                Err(what) => return Ok(Verification::Broken(stored.fault(what))),
            }
        }
        self.check_structure()?;
        Ok(Verification::Intact { records: file.len })
    }

    /// Checks one chain: its records, their links, and their places right after their neighbours in the file.
    /// That its last records were removed only [`Journal::verify`] can find.
    ///
    /// # Errors
    /// [`Error::UnknownChain`]; else as [`Journal::verify`].
    pub fn verify_chain(&self, chain: &str) -> Result<Verification, Error> {
        let mut tail = Tail::START;
        let query = format!(
            "SELECT {COLUMNS}, (SELECT global_hash FROM record AS before WHERE before.global_seq = record.global_seq - 1)
             FROM record WHERE chain = ?1 ORDER BY seq"
        );
        let mut statement = self.connection.prepare(&query).map_err(|error| self.sqlite(&error))?;
        let mut rows = statement.query([chain]).map_err(|error| self.sqlite(&error))?;
        while let Some(row) = rows.next().map_err(|error| self.sqlite(&error))? {
            let stored = Stored::read(row).map_err(|error| self.sqlite(&error))?;
            if let Err(what) = stored.check(&mut tail, &stored.neighbour()) {
                return Ok(Verification::Broken(stored.fault(what)));
            }
        }
        match tail.len {
            0 => Err(Error::UnknownChain { chain: chain.to_owned() }),
            records => Ok(Verification::Intact { records }),
        }
    }

    fn check_structure(&self) -> Result<(), Error> {
        let answer: String = self
            .connection
            .query_row("PRAGMA integrity_check(1)", [], |row| row.get(0))
            .map_err(|error| self.sqlite(&error))?;
        if answer == "ok" {
            return Ok(());
        }
        Err(Error::Corrupt { path: self.path().to_path_buf(), detail: answer })
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Fault { chain, seq, what } = self;
        match what {
            Difference::RemovedBefore { global_seq } => write!(
                f,
                "record {global_seq} of the whole file, counted from 0, was removed: the next one there is record \
                 {seq} of `{chain}`"
            ),
            Difference::Sequence { due } => {
                write!(f, "record {seq} of `{chain}` stands where record {due} was due")
            }
            Difference::Previous => {
                write!(f, "record {seq} of `{chain}` does not follow the record before it")
            }
            Difference::Contents => {
                write!(
                    f,
                    "record {seq} of `{chain}` was changed: its payload, time or name does not give its hash"
                )
            }
            Difference::Hash => {
                write!(
                    f,
                    "the hash of record {seq} of `{chain}` was changed; its payload is the one first written"
                )
            }
            Difference::Place => {
                write!(f, "record {seq} of `{chain}` does not stand where it was written in the file")
            }
        }
    }
}
