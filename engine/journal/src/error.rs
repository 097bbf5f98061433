//! Why a journal did not do what was asked, in words that say what to do next.

use std::fmt;
use std::path::{Path, PathBuf};

use rusqlite::ErrorCode;

use crate::record::{CHAIN_ID_BYTES_MAX, PAYLOAD_BYTES_MAX};

/// Why a journal could not be opened, read or extended. No error ever means that a record acknowledged before
/// it was lost, except [`Error::Corrupt`], where only the disk or a change from outside can be the cause.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Error {
    /// Another program held the journal for longer than the five seconds waited.
    Busy {
        /// The journal.
        path: PathBuf,
    },
    /// The disk, or the share of it one may use, is full.
    Full {
        /// The journal.
        path: PathBuf,
    },
    /// The file, its folder or this handle may only be read.
    ReadOnly {
        /// The journal.
        path: PathBuf,
    },
    /// The file is damaged or was changed by something else.
    Corrupt {
        /// The journal.
        path: PathBuf,
        /// What was found.
        detail: String,
    },
    /// The file belongs to another program, or is no database at all. It was not touched.
    NotAJournal {
        /// The file.
        path: PathBuf,
    },
    /// The file was written in a format this program does not know. It was not touched.
    NewerVersion {
        /// The journal.
        path: PathBuf,
        /// Format version of the file.
        found: i32,
        /// Highest format version this program knows.
        known: i32,
    },
    /// There is no such file.
    NotFound {
        /// Where it was looked for.
        path: PathBuf,
    },
    /// The operating system refused to open, read, write or sync.
    Io {
        /// The journal.
        path: PathBuf,
        /// What it answered.
        detail: String,
    },
    /// Someone else advanced the chain; nothing was written.
    Conflict {
        /// Id of the chain.
        chain: String,
        /// Number of records the caller knew of.
        expected: u64,
        /// Number of records there are.
        found: u64,
    },
    /// No chain of this id was begun.
    UnknownChain {
        /// The id asked for.
        chain: String,
    },
    /// A chain of this id was begun before; nothing was written.
    ChainExists {
        /// Id of the chain.
        chain: String,
    },
    /// The payload is longer than [`PAYLOAD_BYTES_MAX`]; nothing was written.
    PayloadTooLong {
        /// Its length in bytes.
        bytes: usize,
    },
    /// A chain id is empty or longer than [`CHAIN_ID_BYTES_MAX`]; nothing was written.
    BadChainId {
        /// Its length in bytes.
        bytes: usize,
    },
}

impl Error {
    /// Sorts what SQLite answered; anything it says of the contents of the file is damage, the rest is the system.
    pub(crate) fn from_sqlite(path: &Path, error: &rusqlite::Error) -> Error {
        let path = path.to_path_buf();
        let detail = error.to_string();
        match error {
            rusqlite::Error::SqliteFailure(failure, _) => match failure.code {
                ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked => Error::Busy { path },
                ErrorCode::DiskFull => Error::Full { path },
                ErrorCode::ReadOnly => Error::ReadOnly { path },
                ErrorCode::NotADatabase => Error::NotAJournal { path },
                // `Unknown` is SQLite's plain error: the table or a column of it is not there.
                ErrorCode::DatabaseCorrupt
                | ErrorCode::ConstraintViolation
                | ErrorCode::TypeMismatch
                | ErrorCode::SchemaChanged
                | ErrorCode::Unknown => Error::Corrupt { path, detail },
                _ => Error::Io { path, detail },
            },
            rusqlite::Error::SqlInputError { .. }
            | rusqlite::Error::FromSqlConversionFailure(..)
            | rusqlite::Error::IntegralValueOutOfRange(..)
            | rusqlite::Error::Utf8Error(..)
            | rusqlite::Error::InvalidColumnType(..) => Error::Corrupt { path, detail },
            _ => Error::Io { path, detail },
        }
    }
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Error::Busy { path } => write!(
                f,
                "the journal `{}` was held by another program for more than five seconds; nothing was written and \
                 nothing recorded before is lost; try again, or close the other program",
                path.display()
            ),
            Error::Full { path } => write!(
                f,
                "no room to write to the journal `{}`; this record was not kept, everything recorded before is; free \
                 some room on the disk and do it again",
                path.display()
            ),
            Error::ReadOnly { path } => write!(
                f,
                "the journal `{}` may only be read here; nothing was written and nothing recorded before is lost; to \
                 write, ask for the right to write to the file and its folder",
                path.display()
            ),
            Error::Corrupt { path, detail } => write!(
                f,
                "the journal `{}` is damaged or was changed by something else ({detail}); do not write to it, keep a \
                 copy of it with its `-wal` file as it is, and restore the last good copy",
                path.display()
            ),
            Error::NotAJournal { path } => write!(
                f,
                "`{}` is not a journal; it was left as it is; name another file, or restore the journal from a copy \
                 if it should be one",
                path.display()
            ),
            Error::NewerVersion { path, found, known } => write!(
                f,
                "the journal `{}` has format {found}, this program knows formats up to {known}; it was left as it \
                 is and nothing in it is lost; use the newer program",
                path.display()
            ),
            Error::NotFound { path } => {
                write!(f, "there is no journal `{}`; check the name and the folder", path.display())
            }
            Error::Io { path, detail } => write!(
                f,
                "the system refused work on the journal `{}` ({detail}); everything recorded before is kept; check \
                 that the folder exists, may be written to and is on a local disk, then read the records again \
                 before going on",
                path.display()
            ),
            Error::Conflict { chain, expected, found } => write!(
                f,
                "someone else wrote to `{chain}` in the meantime: {expected} records were expected, there are {found}; \
                 nothing was written and nothing recorded before is lost; read it again before going on",
            ),
            Error::UnknownChain { chain } => {
                write!(f, "the journal holds no records of `{chain}`; check the name, or begin it first")
            }
            Error::ChainExists { chain } => write!(
                f,
                "`{chain}` was begun before; nothing was written and its records are kept; go on with it, or choose \
                 another name",
            ),
            Error::PayloadTooLong { bytes } => write!(
                f,
                "a record of {bytes} bytes is longer than the {PAYLOAD_BYTES_MAX} bytes allowed; nothing was written \
                 and nothing recorded before is lost; shorten it",
            ),
            Error::BadChainId { bytes } => write!(
                f,
                "a name of {bytes} bytes is outside the 1 to {CHAIN_ID_BYTES_MAX} bytes allowed; nothing was written; \
                 choose another name",
            ),
        }
    }
}

impl std::error::Error for Error {}
