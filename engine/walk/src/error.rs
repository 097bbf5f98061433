//! Why a walk cannot begin, go on or be read.

use crate::refusal::Refusal;
use journal::Fault;
use std::fmt;

/// Why a walk cannot begin, go on or be read.
#[derive(Debug)]
pub enum Error {
    /// The input is not taken; nothing was recorded.
    Refused(Refusal),
    /// The journal failed; what was acknowledged is still there.
    Journal(journal::Error),
    /// The documents have errors, so that nothing may be walked by them.
    Unsound(String),
    /// A record cannot be read.
    Record {
        /// Its number in the walk.
        seq: u64,
        /// What is wrong.
        what: String,
    },
    /// The chain of the walk's records is broken: this is the first that does not hold.
    Broken(Fault),
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Refused(refusal) => refusal.fmt(f),
            Self::Journal(error) => error.fmt(f),
            Self::Unsound(why) => write!(f, "the walk cannot go by these documents: {why}"),
            Self::Record { seq, what } => write!(f, "record {seq} of the walk cannot be read: {what}"),
            Self::Broken(what) => write!(f, "the walk's records do not hold together: {what}"),
        }
    }
}

impl std::error::Error for Error {}

impl From<journal::Error> for Error {
    fn from(error: journal::Error) -> Self {
        Self::Journal(error)
    }
}
