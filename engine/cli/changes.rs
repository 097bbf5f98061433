//! Files that change, as the system tells it.

use anyhow::{Context, Result};
use notify::{Event, RecommendedWatcher, RecursiveMode, Watcher};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::{Duration, Instant};

/// Editors write a file in several moves: what comes within this time of each other is taken together.
const TOGETHER: Duration = Duration::from_millis(20);
/// What never pauses is not waited for any longer.
const TOGETHER_AT_MOST: Duration = Duration::from_millis(200);

/// What the system tells of the files and folders that are watched.
pub(crate) struct Changes {
    watcher: RecommendedWatcher,
    events: Receiver<notify::Result<Event>>,
}

impl Changes {
    pub(crate) fn new() -> Result<Self> {
        let (send, events) = channel();
        let watcher = notify::recommended_watcher(send).context("files cannot be watched here")?;
        Ok(Self { watcher, events })
    }

    /// Watches a file, or a folder with or without the folders in it; what is watched already is looked for anew.
    pub(crate) fn watch(&mut self, path: &Path, mode: RecursiveMode) -> Result<()> {
        self.watcher.watch(path, mode).with_context(|| format!("`{}` cannot be watched", path.display()))
    }

    /// Waits for changed files, and takes together what comes together. `None` if nothing came within the time, or if the
    /// system has lost count of the files.
    pub(crate) fn next(&self, within: Duration) -> Result<Option<BTreeSet<PathBuf>>> {
        let mut changed = BTreeSet::new();
        let began = Instant::now();
        let mut first: Option<Instant> = None;
        loop {
            let wait = match first {
                Some(first) => TOGETHER.min(TOGETHER_AT_MOST.saturating_sub(first.elapsed())),
                None => within.saturating_sub(began.elapsed()),
            };
            match self.events.recv_timeout(wait) {
                Ok(event) => {
                    let event = event.context("files are not watched any more")?;
                    if event.need_rescan() {
                        return Ok(None);
                    }
                    // Whoever reads a file changes nothing.
                    if !event.kind.is_access() {
                        changed.extend(event.paths);
                        first.get_or_insert_with(Instant::now);
                    }
                }
                Err(RecvTimeoutError::Timeout) => return Ok(first.map(|_| changed)),
                Err(error @ RecvTimeoutError::Disconnected) => {
                    return Err(error).context("files are not watched any more");
                }
            }
        }
    }
}
