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

    /// Waits for changed files, and takes together what comes together. None within the time, or changes of which the
    /// system no longer knows the files, give an empty set.
    pub(crate) fn next(&self, within: Duration) -> Result<BTreeSet<PathBuf>> {
        let mut changed = BTreeSet::new();
        let mut began = None;
        loop {
            match self.events.recv_timeout(if began.is_some() { TOGETHER } else { within }) {
                Ok(event) => {
                    let event = event.context("files are not watched any more")?;
                    if !event.kind.is_access() {
                        changed.extend(event.paths);
                    }
                }
                Err(RecvTimeoutError::Timeout) => return Ok(changed),
                Err(error @ RecvTimeoutError::Disconnected) => {
                    return Err(error).context("files are not watched any more");
                }
            }
            if began.get_or_insert_with(Instant::now).elapsed() > TOGETHER_AT_MOST {
                return Ok(changed);
            }
        }
    }
}
