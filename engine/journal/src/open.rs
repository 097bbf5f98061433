//! Opening: whose file it is, and the settings under which a commit is durable.

use std::path::{Path, PathBuf};
use std::time::Duration;
use std::{fs, thread};

use rusqlite::{Connection, OpenFlags, TransactionBehavior};

use crate::Error;
use crate::schema::{self, Kind};

/// How long to wait for another writer. A commit takes milliseconds, so five seconds mean that something is stuck.
const BUSY_TIMEOUT: Duration = Duration::from_secs(5);

/// Statements that are kept ready.
const STATEMENTS: usize = 64;

/// SQLite does not wait by itself when the log is switched on, which happens once, in a new file: so we do, as long.
const SWITCH_PAUSE: Duration = Duration::from_millis(20);
const SWITCH_ATTEMPTS: u32 = 250;

/// One open journal. Several may be open on the same file, in one program or in many.
///
/// Opening looks only at the header; the records are checked when [`Journal::verify`] is asked.
#[derive(Debug)]
pub struct Journal {
    pub(crate) connection: Connection,
    /// Whether what is written now is committed later, with more: see [`Journal::together`].
    pub(crate) is_together: bool,
    /// Which file it was when it was opened; none where the system does not say, or there is none.
    file: Option<(u64, u64)>,
    path: PathBuf,
}

impl Journal {
    /// Opens a journal to write and read; makes it when there is no file or an empty one, and makes one of an earlier version
    /// one of this version. The folder must exist.
    ///
    /// # Errors
    /// A file of another program or a newer format is refused and left as it is. [`Error::ReadOnly`] when it may
    /// not be written; [`Error::Busy`], [`Error::Io`], [`Error::Full`] and [`Error::Corrupt`] as they say.
    pub fn open(path: impl AsRef<Path>) -> Result<Journal, Error> {
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_CREATE;
        let mut journal = Journal::connect(path.as_ref(), flags)?;
        let kind = journal.identify()?;
        // SQLite opens a file it may not write for reading, without a word.
        if journal.connection.is_readonly("main").map_err(|error| journal.sqlite(&error))? {
            return Err(Error::ReadOnly { path: journal.path });
        }
        match kind {
            Kind::Empty | Kind::Earlier => journal.make()?,
            Kind::Journal => {}
        }
        journal.use_write_ahead_log()?;
        Ok(journal)
    }

    /// Opens a journal to read it only. The folder must allow SQLite its `-wal` and `-shm` files.
    ///
    /// # Errors
    /// [`Error::NotFound`] when there is no file; else as [`Journal::open`], and an empty file is not a journal.
    pub fn open_existing(path: impl AsRef<Path>) -> Result<Journal, Error> {
        let path = path.as_ref();
        if !path.try_exists().map_err(|error| Error::Io { path: path.into(), detail: error.to_string() })? {
            return Err(Error::NotFound { path: path.into() });
        }
        let mut journal = Journal::connect(path, OpenFlags::SQLITE_OPEN_READ_ONLY)?;
        match journal.identify()? {
            Kind::Journal | Kind::Earlier => Ok(journal),
            Kind::Empty => Err(Error::NotAJournal { path: journal.path }),
        }
    }

    /// A journal that is gone when dropped, for tests of what is built on it. Nothing in it is durable.
    ///
    /// # Errors
    /// [`Error::Io`] when there is no memory.
    pub fn in_memory() -> Result<Journal, Error> {
        let path = PathBuf::from("(in memory)");
        let connection = Connection::open_in_memory().map_err(|error| Error::from_sqlite(&path, &error))?;
        let mut journal = Journal { connection, is_together: false, file: None, path };
        journal.make()?;
        Ok(journal)
    }

    /// Where the journal is.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Makes sure that the file is where it was: what is written to one that was removed, or put aside for another, nobody finds again.
    pub(crate) fn is_in_place(&self) -> Result<(), Error> {
        if self.file.is_none() || file_at(&self.path) == self.file {
            return Ok(());
        }
        let detail = "the file was removed or another put in its place while it was open".to_owned();
        Err(Error::Io { path: self.path.clone(), detail })
    }

    pub(crate) fn sqlite(&self, error: &rusqlite::Error) -> Error {
        Error::from_sqlite(&self.path, error)
    }

    fn connect(path: &Path, flags: OpenFlags) -> Result<Journal, Error> {
        // SQLite takes a file of one byte for an empty one and would write over it.
        if fs::metadata(path).is_ok_and(|file| file.len() == 1) {
            return Err(Error::NotAJournal { path: path.to_path_buf() });
        }
        // Joined to `.`, names that SQLite gives a meaning of their own, as `:memory:`, are names of files.
        let file = Path::new(".").join(path);
        let sqlite = |error: rusqlite::Error| Error::from_sqlite(path, &error);
        let connection =
            Connection::open_with_flags(file, flags | OpenFlags::SQLITE_OPEN_NO_MUTEX).map_err(sqlite)?;
        connection.busy_timeout(BUSY_TIMEOUT).map_err(sqlite)?;
        // More than a record and what is told with it need.
        connection.set_prepared_statement_cache_capacity(STATEMENTS);
        // FULL syncs the log at every commit; `fullfsync` makes macOS reach the disk itself, elsewhere it does nothing.
        connection.pragma_update(None, "synchronous", "FULL").map_err(sqlite)?;
        connection.pragma_update(None, "fullfsync", true).map_err(sqlite)?;
        Ok(Journal { connection, is_together: false, file: file_at(path), path: path.to_path_buf() })
    }

    fn identify(&mut self) -> Result<Kind, Error> {
        let transaction =
            self.connection.transaction().map_err(|error| Error::from_sqlite(&self.path, &error))?;
        schema::identify(&transaction, &self.path)
    }

    fn make(&mut self) -> Result<(), Error> {
        let sqlite = |error: rusqlite::Error| Error::from_sqlite(&self.path, &error);
        let transaction =
            self.connection.transaction_with_behavior(TransactionBehavior::Immediate).map_err(sqlite)?;
        // Another program may have made it since it was looked at.
        match schema::identify(&transaction, &self.path)? {
            Kind::Empty => schema::create(&transaction).map_err(sqlite)?,
            Kind::Earlier => schema::add_missing(&transaction).map_err(sqlite)?,
            Kind::Journal => {}
        }
        transaction.commit().map_err(sqlite)
    }

    fn use_write_ahead_log(&self) -> Result<(), Error> {
        for _ in 1..SWITCH_ATTEMPTS {
            match self.switch_log_on() {
                Err(Error::Busy { .. }) => thread::sleep(SWITCH_PAUSE),
                other => return other,
            }
        }
        self.switch_log_on()
    }

    fn switch_log_on(&self) -> Result<(), Error> {
        let mode: String = self
            .connection
            .pragma_update_and_check(None, "journal_mode", "WAL", |row| row.get(0))
            .map_err(|error| self.sqlite(&error))?;
        if mode == "wal" {
            return Ok(());
        }
        Err(Error::Io { path: self.path.clone(), detail: "no write-ahead log can be kept here".to_owned() })
    }
}

/// Which file stands at a path, where the system says so.
#[cfg(unix)]
fn file_at(path: &Path) -> Option<(u64, u64)> {
    use std::os::unix::fs::MetadataExt as _;
    fs::metadata(path).ok().map(|file| (file.dev(), file.ino()))
}

#[cfg(not(unix))]
fn file_at(_: &Path) -> Option<(u64, u64)> {
    None
}
