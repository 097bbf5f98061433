//! How a record fails to agree with its hashes, and the words for it.

use std::fmt;

/// The first record that does not agree.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// Id of its chain, as it stands in the file.
    pub chain: String,
    /// Its number in the chain, from 0, as it stands in the file; negative only where it was changed.
    pub seq: i64,
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
    /// It and all after it in its chain are gone, by what lists tell of the chain.
    RemovedFrom {
        /// How many records the chain had.
        had: u64,
    },
    /// It was added, or another one before it put in its place, by something that does not keep what lists tell.
    NotTold,
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
            Difference::RemovedFrom { had } => write!(
                f,
                "the records of `{chain}` from record {seq} on were removed: {had} were written, counted from 0"
            ),
            Difference::NotTold => write!(
                f,
                "what lists tell of `{chain}` does not follow from its records: record {seq} was written by something else"
            ),
        }
    }
}
