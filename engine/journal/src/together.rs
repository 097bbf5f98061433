//! Several writes in one commit: all of them are on the disk, or none.

use rusqlite::{Connection, TransactionBehavior};

use crate::{Error, Journal, Storage};

/// Does all that the work writes in one commit, on the disk before this returns. Each write in it still fails alone, by its own error;
/// where this fails, nothing that was written in it is kept, whatever its own result said. Within another one it is a part of that.
///
/// # Errors
/// That of the file or disk.
pub fn together<T>(storage: &mut dyn Storage, work: impl FnOnce(&mut dyn Storage) -> T) -> Result<T, Error> {
    together_in(storage, |storage| &mut **storage, |storage| work(&mut **storage))
}

/// The same for what holds a storage and more.
///
/// # Errors
/// As [`together`].
pub fn together_in<H, T>(
    mut holder: H,
    storage: impl Fn(&mut H) -> &mut dyn Storage,
    work: impl FnOnce(&mut H) -> T,
) -> Result<T, Error> {
    if !storage(&mut holder).begin_commit()? {
        return Ok(work(&mut holder));
    }
    let mut open = Open { holder, storage };
    let done = work(&mut open.holder);
    (open.storage)(&mut open.holder).commit()?;
    Ok(done)
}

/// A commit under way. What is not committed when it ends, by an error or a panic, is taken back.
struct Open<H, S: Fn(&mut H) -> &mut dyn Storage> {
    holder: H,
    storage: S,
}

impl<H, S: Fn(&mut H) -> &mut dyn Storage> Drop for Open<H, S> {
    fn drop(&mut self) {
        (self.storage)(&mut self.holder).take_back();
    }
}

impl Journal {
    /// Does all that the work writes in one commit: see [`together`].
    ///
    /// # Errors
    /// That of the file or disk.
    pub fn together<T>(&mut self, work: impl FnOnce(&mut Journal) -> T) -> Result<T, Error> {
        together_in(self, |journal| &mut **journal, |journal| work(journal))
    }

    pub(crate) fn begin_commit(&mut self) -> Result<bool, Error> {
        if self.is_together {
            return Ok(false);
        }
        self.connection.execute_batch("BEGIN IMMEDIATE").map_err(|error| self.sqlite(&error))?;
        self.is_together = true;
        Ok(true)
    }

    pub(crate) fn commit(&mut self) -> Result<(), Error> {
        // On a full disk SQLite itself may have taken back everything.
        if self.connection.is_autocommit() {
            return Err(Error::Full { path: self.path().to_path_buf() });
        }
        self.is_in_place()?;
        self.connection.execute_batch("COMMIT").map_err(|error| self.sqlite(&error))
    }

    pub(crate) fn take_back(&mut self) {
        self.is_together = false;
        if !self.connection.is_autocommit() {
            // Where even that fails nothing was committed, and the next write says so.
            let _ = self.connection.execute_batch("ROLLBACK");
        }
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
        self.is_in_place()?;
        let transaction =
            self.connection.transaction_with_behavior(TransactionBehavior::Immediate).map_err(sqlite)?;
        let done = write(&transaction)?;
        transaction.commit().map_err(sqlite)?;
        Ok(done)
    }
}
