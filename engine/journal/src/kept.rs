//! What records name by its hash: kept once, beside them.

use rusqlite::{OptionalExtension, TransactionBehavior, params};

use crate::{Error, Hash, Journal};

const WANTED: &str = "SELECT bytes FROM kept WHERE hash = ?1";

impl Journal {
    /// Keeps bytes under their SHA-256, for records to name; what is kept already is not written again. On the disk before it
    /// returns.
    ///
    /// # Errors
    /// That of the file or disk.
    pub fn keep(&mut self, bytes: &[u8]) -> Result<Hash, Error> {
        let hash = Hash::of(bytes);
        let path = self.path().to_path_buf();
        let sqlite = |error: rusqlite::Error| Error::from_sqlite(&path, &error);
        if self.stored(&hash)?.is_some() {
            return Ok(hash);
        }
        let transaction =
            self.connection.transaction_with_behavior(TransactionBehavior::Immediate).map_err(sqlite)?;
        let is_there = |row: &rusqlite::Row<'_>| row.get::<_, Vec<u8>>(0);
        // Another program may have kept it since it was looked for.
        if transaction.query_row(WANTED, [hash.as_bytes()], is_there).optional().map_err(sqlite)?.is_none() {
            transaction
                .execute("INSERT INTO kept (hash, bytes) VALUES (?1, ?2)", params![hash.as_bytes(), bytes])
                .map_err(sqlite)?;
        }
        transaction.commit().map_err(sqlite)?;
        Ok(hash)
    }

    /// The bytes kept under a hash; none where nothing is.
    ///
    /// # Errors
    /// [`Error::Corrupt`] if they were changed; else that of the file or disk.
    pub fn kept(&self, hash: &Hash) -> Result<Option<Vec<u8>>, Error> {
        let bytes = self.stored(hash)?;
        match bytes {
            Some(bytes) if Hash::of(&bytes) != *hash => Err(self.changed(hash)),
            bytes => Ok(bytes),
        }
    }

    /// Whether everything kept is as it was.
    pub(crate) fn check_kept(&self) -> Result<(), Error> {
        if !self.keeps()? {
            return Ok(());
        }
        let sqlite = |error: rusqlite::Error| self.sqlite(&error);
        let mut statement =
            self.connection.prepare("SELECT hash, bytes FROM kept ORDER BY hash").map_err(sqlite)?;
        let mut rows = statement.query([]).map_err(sqlite)?;
        while let Some(row) = rows.next().map_err(sqlite)? {
            let hash = crate::read::hash(row, 0).map_err(sqlite)?;
            if Hash::of(&row.get::<_, Vec<u8>>(1).map_err(sqlite)?) != hash {
                return Err(self.changed(&hash));
            }
        }
        Ok(())
    }

    fn stored(&self, hash: &Hash) -> Result<Option<Vec<u8>>, Error> {
        if !self.keeps()? {
            return Ok(None);
        }
        self.connection
            .prepare_cached(WANTED)
            .and_then(|mut statement| statement.query_row([hash.as_bytes()], |row| row.get(0)).optional())
            .map_err(|error| self.sqlite(&error))
    }

    /// Whether it is of a version in which anything is kept.
    fn keeps(&self) -> Result<bool, Error> {
        self.connection
            .prepare_cached("SELECT count(*) FROM sqlite_schema WHERE name = 'kept'")
            .and_then(|mut statement| statement.query_row([], |row| row.get::<_, i64>(0)))
            .map(|tables| tables > 0)
            .map_err(|error| self.sqlite(&error))
    }

    fn changed(&self, hash: &Hash) -> Error {
        Error::Corrupt {
            path: self.path().to_path_buf(),
            detail: format!("what was kept as {hash} was changed"),
        }
    }
}
