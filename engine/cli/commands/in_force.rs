//! What is in force while somebody walks in a terminal, and what it says of the walk.

use crate::budget::Budget;
use crate::files::{self, Stamp};
use anyhow::Result;
use document::{InputFile, Library, Reading};
use records::{Footing, Judged, Stood, Unproved};
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};
use walk::{Begin, DocumentText, Walk};

/// Files are watched by their stamps alone: each answer looks at them.
#[derive(Default)]
pub(super) struct InForce {
    seen: BTreeMap<PathBuf, Stamp>,
    unproved: Option<Unproved>,
    /// Where the walk was when that was seen, if the step was laid before whoever walks by then.
    stood: Option<Stood>,
}

impl InForce {
    /// Looks whether the files changed, and judges the walk by them then. What does not read, as while somebody types, leaves
    /// the last judgement as it is.
    pub(super) fn again(&mut self, walk: &Walk, is_laid_open: bool) -> Option<Judged> {
        let now = files::stamps(&folders(walk.begin()));
        if now == self.seen {
            return None;
        }
        let reading = in_force(walk.begin()).ok()??;
        if reading.findings.iter().any(|finding| finding.code.starts_with('R')) {
            return None;
        }
        self.seen = now;
        let judged = judged(walk, &reading.library);
        if self.unproved.is_none() {
            self.stood = is_laid_open.then(|| Stood::of(walk));
        }
        self.unproved.clone_from(&judged.unproved);
        Some(judged)
    }

    pub(super) fn unproved(&self) -> Option<&Unproved> {
        self.unproved.as_ref()
    }

    /// What is taken of the walk as it stands.
    pub(super) fn footing(&self, walk: &Walk) -> Footing {
        match (&self.unproved, &self.stood) {
            (None, _) => Footing::Proved,
            (Some(_), Some(stood)) if *stood == Stood::of(walk) => Footing::UnderWay,
            (Some(_), Some(_) | None) => Footing::Shut,
        }
    }
}

/// The folders of the documents that a walk began with.
fn folders(begin: &Begin) -> Vec<PathBuf> {
    let folder = |text: &DocumentText| match Path::new(&text.name).parent() {
        Some(folder) if folder != Path::new("") => folder.to_owned(),
        Some(_) | None => PathBuf::from("."),
    };
    let folders: BTreeSet<PathBuf> = begin.documents.iter().map(folder).collect();
    folders.into_iter().filter(|folder| folder.is_dir()).collect()
}

/// What the documents in force say of what a walk goes by.
pub(super) fn judged(walk: &Walk, in_force: &Library) -> Judged {
    let Budget { states, seconds } = super::budget();
    let end = Instant::now() + Duration::from_secs(seconds);
    let go_on = || Instant::now() < end;
    records::judged(walk, in_force, &::check::Budget { boxes: states, go_on: &go_on })
}

/// The documents as they stand now, from the folders of those the walk began with; a rehearsal or training walk goes by its
/// own where these are gone, and nothing else does.
pub(super) fn in_force(begin: &Begin) -> Result<Option<Reading>> {
    if !begin.documents.iter().any(|document| Path::new(&document.name).is_file()) {
        let files = begin.documents.iter().map(|DocumentText { name, text }| InputFile {
            name: name.clone(),
            bytes: text.clone().into_bytes(),
        });
        return Ok(begin.training.then(|| crate::jobs::read(&files.collect::<Vec<_>>())));
    }
    Ok(Some(crate::jobs::read(&files::read_all(&folders(begin))?)))
}
