//! What records name by its hash: kept once, beside them.

use rusqlite::{OptionalExtension, params};

use crate::schema::is_there;
use crate::{Error, Hash, Journal};

const KEEP: &str =
    "INSERT INTO kept (hash, bytes) SELECT ?1, ?2 WHERE NOT EXISTS (SELECT 1 FROM kept WHERE hash = ?1)";

impl Journal {
    /// Keeps bytes under their SHA-256, for records to name; what is kept already is not written again. On the disk before it
    /// returns.
    ///
    /// # Errors
    /// That of the file or disk.
    pub fn keep(&mut self, bytes: &[u8]) -> Result<Hash, Error> {
        let hash = Hash::of(bytes);
        let path = self.path().to_path_buf();
        // One statement, so that no other program keeps it between looking and writing.
        self.written(|connection| {
            connection
                .prepare_cached(KEEP)
                .and_then(|mut statement| statement.execute(params![hash.as_bytes(), bytes]))
                .map_err(|error| Error::from_sqlite(&path, &error))
        })?;
        Ok(hash)
    }

    /// The bytes kept under a hash; none where nothing is.
    ///
    /// # Errors
    /// [`Error::Corrupt`] if they were changed; else that of the file or disk.
    pub fn kept(&self, hash: &Hash) -> Result<Option<Vec<u8>>, Error> {
        match self.stored(hash)? {
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
            .prepare_cached("SELECT bytes FROM kept WHERE hash = ?1")
            .and_then(|mut statement| statement.query_row([hash.as_bytes()], |row| row.get(0)).optional())
            .map_err(|error| self.sqlite(&error))
    }

    /// Whether it is of a version in which anything is kept.
    fn keeps(&self) -> Result<bool, Error> {
        is_there(&self.connection, "kept").map_err(|error| self.sqlite(&error))
    }

    fn changed(&self, hash: &Hash) -> Error {
        Error::Corrupt {
            path: self.path().to_path_buf(),
            detail: format!("what was kept as {hash} was changed"),
        }
    }
}
