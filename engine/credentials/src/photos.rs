//! Photos, by the hash that the records carry.

use crate::{CredentialError, CredentialStore};
use rusqlite::{OptionalExtension, params};

impl CredentialStore {
    /// Keeps a photo; the same one twice is kept once. `hash` is what records name it by.
    ///
    /// # Errors
    /// If the store fails.
    pub fn keep_photo(&mut self, hash: &str, bytes: &[u8]) -> Result<(), CredentialError> {
        self.connection
            .execute("INSERT OR IGNORE INTO photo VALUES (?1, ?2)", params![hash, bytes])
            .map(|_| ())
            .map_err(|error| self.fault(&error))
    }

    /// The bytes of a photo.
    ///
    /// # Errors
    /// If the store fails.
    pub fn photo(&self, hash: &str) -> Result<Option<Vec<u8>>, CredentialError> {
        self.connection
            .query_row("SELECT bytes FROM photo WHERE hash = ?1", [hash], |row| row.get(0))
            .optional()
            .map_err(|error| self.fault(&error))
    }
}
