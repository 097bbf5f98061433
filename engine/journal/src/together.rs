//! Several writes in one commit: all of them are on the disk, or none.

use rusqlite::{Connection, TransactionBehavior};

use crate::{Error, Journal};

impl Journal {
    /// Does all that the work writes in one commit, on the disk before this returns. Each write in it still fails alone, by its own
    /// error; where this fails, nothing that was written in it is kept, whatever its own result said.
    ///
    /// # Errors
    /// That of the file or disk.
    pub fn together<T>(&mut self, work: impl FnOnce(&mut Journal) -> T) -> Result<T, Error> {
        if self.is_together {
            return Ok(work(self));
        }
        self.connection.execute_batch("BEGIN IMMEDIATE").map_err(|error| self.sqlite(&error))?;
        let open = Open(self);
        open.0.is_together = true;
        let done = work(open.0);
        // On a full disk SQLite itself may have taken back everything.
        if open.0.connection.is_autocommit() {
            return Err(Error::Full { path: open.0.path().to_path_buf() });
        }
        open.0.connection.execute_batch("COMMIT").map_err(|error| open.0.sqlite(&error))?;
        Ok(done)
    }

    /// One write, whole or not at all: a commit of its own, or a part of one that comes later.
    pub(crate) fn written<T>(
        &mut self,
        write: impl FnOnce(&Connection) -> Result<T, Error>,
    ) -> Result<T, Error> {
        let path = self.path().to_path_buf();
        let sqlite = |error: rusqlite::Error| Error::from_sqlite(&path, &error);
        if self.is_together {
            // Nothing is committed by a part of what was taken back.
            if self.connection.is_autocommit() {
                return Err(Error::Full { path: path.clone() });
            }
            let part = self.connection.savepoint().map_err(sqlite)?;
            let done = write(&part)?;
            part.commit().map_err(sqlite)?;
            return Ok(done);
        }
        let transaction =
            self.connection.transaction_with_behavior(TransactionBehavior::Immediate).map_err(sqlite)?;
        let done = write(&transaction)?;
        transaction.commit().map_err(sqlite)?;
        Ok(done)
    }
}

/// A commit under way. What is not committed when it ends, by an error or a panic, is taken back.
struct Open<'j>(&'j mut Journal);

impl Drop for Open<'_> {
    fn drop(&mut self) {
        self.0.is_together = false;
        if !self.0.connection.is_autocommit() {
            // Where even that fails nothing was committed, and the next write says so.
            let _ = self.0.connection.execute_batch("ROLLBACK");
        }
    }
}
