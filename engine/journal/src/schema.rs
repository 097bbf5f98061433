//! The tables, their guards, and the two numbers in the file header that say whose file it is.

use std::path::Path;

use rusqlite::Connection;

use crate::Error;

/// `GWJL` in ASCII, in the header field SQLite keeps for this.
pub(crate) const APPLICATION_ID: i32 = 0x4757_4A4C;

/// Version of the tables and of the encoding under the hashes. Version 1 had no `kept`, version 2 no `summary`.
pub(crate) const FORMAT_VERSION: i32 = 3;

/// `record_order` also stops `INSERT OR REPLACE`, which removes a row without firing delete triggers.
const CREATE: &str = "
    CREATE TABLE record (
        global_seq  INTEGER PRIMARY KEY CHECK (global_seq >= 0),
        chain       TEXT    NOT NULL CHECK (chain <> ''),
        seq         INTEGER NOT NULL CHECK (seq >= 0),
        at_ms       INTEGER NOT NULL,
        payload     TEXT    NOT NULL,
        previous    BLOB    NOT NULL CHECK (length(previous) = 32),
        hash        BLOB    NOT NULL CHECK (length(hash) = 32),
        global_hash BLOB    NOT NULL CHECK (length(global_hash) = 32),
        UNIQUE (chain, seq)
    ) STRICT;
    CREATE TRIGGER record_order BEFORE INSERT ON record
    WHEN NEW.global_seq IS NOT (SELECT coalesce(max(global_seq) + 1, 0) FROM record)
        OR NEW.seq IS NOT (SELECT coalesce(max(seq) + 1, 0) FROM record WHERE chain = NEW.chain)
    BEGIN SELECT RAISE(ABORT, 'a journal only grows at its end'); END;
    CREATE TRIGGER record_unchanged BEFORE UPDATE ON record
    BEGIN SELECT RAISE(ABORT, 'a record is never changed'); END;
    CREATE TRIGGER record_kept BEFORE DELETE ON record
    BEGIN SELECT RAISE(ABORT, 'a record is never removed'); END;
";

/// What records name by its hash: whole, and once.
const CREATE_KEPT: &str = "
    CREATE TABLE kept (
        hash  BLOB PRIMARY KEY CHECK (length(hash) = 32),
        bytes BLOB NOT NULL
    ) STRICT;
    CREATE TRIGGER kept_once BEFORE INSERT ON kept WHEN EXISTS (SELECT 1 FROM kept WHERE hash = NEW.hash)
    BEGIN SELECT RAISE(ABORT, 'what is kept is kept once'); END;
    CREATE TRIGGER kept_unchanged BEFORE UPDATE ON kept
    BEGIN SELECT RAISE(ABORT, 'what is kept is never changed'); END;
    CREATE TRIGGER kept_stays BEFORE DELETE ON kept
    BEGIN SELECT RAISE(ABORT, 'what is kept is never removed'); END;
";

/// What lists tell of a chain: follows from its records, and is changed with each of them. `place` is in the order in which something
/// was first told of them, as they were begun.
const CREATE_SUMMARY: &str = "
    CREATE TABLE summary (
        place    INTEGER PRIMARY KEY,
        chain    TEXT    NOT NULL UNIQUE,
        len      INTEGER NOT NULL CHECK (len > 0),
        first_at INTEGER NOT NULL,
        last_at  INTEGER NOT NULL,
        hash     BLOB    NOT NULL CHECK (length(hash) = 32),
        token    TEXT,
        line     TEXT    NOT NULL,
        notes    TEXT    NOT NULL,
        seal     INTEGER NOT NULL,
        noted    INTEGER NOT NULL
    ) STRICT;
    CREATE INDEX summary_token ON summary (token) WHERE token IS NOT NULL;
    CREATE TRIGGER summary_stays BEFORE DELETE ON summary
    BEGIN SELECT RAISE(ABORT, 'a summary is never removed'); END;
";

/// What a file that is not refused can be.
pub(crate) enum Kind {
    /// No table, no numbers: a file just made, or an empty one.
    Empty,
    /// A journal of a version before.
    Earlier,
    /// A journal in the format written here.
    Journal,
}

/// Looks whose file this is; call inside a transaction, so that all answers are of one moment.
pub(crate) fn identify(connection: &Connection, path: &Path) -> Result<Kind, Error> {
    let sqlite = |error: rusqlite::Error| Error::from_sqlite(path, &error);
    let number =
        |name: &str| connection.pragma_query_value(None, name, |row| row.get::<_, i32>(0)).map_err(sqlite);
    let application = number("application_id")?;
    let version = number("user_version")?;
    let objects: i64 =
        connection.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0)).map_err(sqlite)?;
    match (application, version, objects) {
        (0, 0, 0) => Ok(Kind::Empty),
        (APPLICATION_ID, 1..FORMAT_VERSION, _) => Ok(Kind::Earlier),
        (APPLICATION_ID, FORMAT_VERSION, _) => Ok(Kind::Journal),
        (APPLICATION_ID, found, _) if found > FORMAT_VERSION => {
            Err(Error::NewerVersion { path: path.to_path_buf(), found, known: FORMAT_VERSION })
        }
        _ => Err(Error::NotAJournal { path: path.to_path_buf() }),
    }
}

/// Makes the tables and writes the numbers; call inside a write transaction, so that it happens whole or not at all.
pub(crate) fn create(connection: &Connection) -> rusqlite::Result<()> {
    connection.execute_batch(CREATE)?;
    connection.pragma_update(None, "application_id", APPLICATION_ID)?;
    add_missing(connection)
}

/// Makes a journal of a version before one of this version; call inside a write transaction.
pub(crate) fn add_missing(connection: &Connection) -> rusqlite::Result<()> {
    for (table, create) in [("kept", CREATE_KEPT), ("summary", CREATE_SUMMARY)] {
        if !is_there(connection, table)? {
            connection.execute_batch(create)?;
        }
    }
    connection.pragma_update(None, "user_version", FORMAT_VERSION)
}

/// Whether there is a table of that name.
pub(crate) fn is_there(connection: &Connection, table: &str) -> rusqlite::Result<bool> {
    connection
        .prepare_cached("SELECT count(*) > 0 FROM sqlite_schema WHERE type = 'table' AND name = ?1")?
        .query_row([table], |row| row.get(0))
}
