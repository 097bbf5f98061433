//! A folder of its own for each test, gone when the test ends.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};

use rusqlite::Connection;

use crate::Journal;

static NEXT: AtomicU32 = AtomicU32::new(0);

pub(super) struct Scratch(PathBuf);

impl Scratch {
    pub(super) fn new() -> Scratch {
        let number = NEXT.fetch_add(1, Ordering::Relaxed);
        let folder = std::env::temp_dir().join(format!("journal-test-{}-{number}", std::process::id()));
        fs::create_dir_all(&folder).unwrap();
        Scratch(folder)
    }

    pub(super) fn folder(&self) -> &Path {
        &self.0
    }

    pub(super) fn file(&self) -> PathBuf {
        self.0.join("journal.db")
    }

    pub(super) fn journal(&self) -> Journal {
        Journal::open(self.file()).unwrap()
    }

    /// One who has the rights to the file and knows SQLite.
    pub(super) fn raw(&self) -> Connection {
        Connection::open(self.file()).unwrap()
    }
}

impl Drop for Scratch {
    fn drop(&mut self) {
        // A folder left behind in the temporary folder spoils no result.
        let _ = fs::remove_dir_all(&self.0);
    }
}
