//! While `serve` runs, documents are read again when their files change. What has errors does not come into force: its last
//! version without them stays, and people are told.

use super::budget;
use crate::{files, jobs, register};
use anyhow::Result;
use check::Report;
use document::model::Name;
use document::{InputFile, Severity};
use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;
use web::DocumentStore;

/// Files are looked at so often.
const EVERY: Duration = Duration::from_millis(500);
/// Editors write a file in several moves: what changes within this time is taken together.
const TOGETHER: Duration = Duration::from_millis(50);

/// What is in force, and what it was read from.
pub(super) struct Reread {
    from: Vec<PathBuf>,
    /// The files as they were when they were last read; none if they could not be looked at.
    seen: Option<BTreeMap<PathBuf, files::Stamp>>,
    /// The files in force.
    files: Vec<InputFile>,
    /// The procedures without errors, each with the name of its file.
    sound: BTreeMap<Name, String>,
}

impl Reread {
    /// The documents as they stand when the program starts.
    pub(super) fn first(from: &[PathBuf]) -> Result<(Self, Arc<DocumentStore>)> {
        // Looked at before they are read: what changes in between is read again.
        let seen = stamps(from);
        let files = files::read_all(from)?;
        let report = budget().spend(jobs::read(&files))?;
        let first = Self { from: from.to_vec(), seen, files, sound: sound(&report) };
        let machines = machines(&report);
        Ok((first, Arc::new(DocumentStore::new(report, machines))))
    }

    /// Looks at the files for as long as the program runs.
    pub(super) fn go_on(mut self, store: &DocumentStore) {
        loop {
            std::thread::sleep(EVERY);
            let now = stamps(&self.from);
            if now == self.seen {
                continue;
            }
            std::thread::sleep(TOGETHER);
            if stamps(&self.from) == now {
                self.seen = now;
                store.set_notice(self.again(store).unwrap_or_else(|error| {
                    Some(format!(
                        "The documents cannot be read again ({error:#}): the last ones stay in force."
                    ))
                }));
            }
        }
    }

    /// Reads the files and puts into force what can be; gives what people are told of the rest.
    fn again(&mut self, store: &DocumentStore) -> Result<Option<String>> {
        let mut files = files::read_all(&self.from)?;
        let mut report = budget().spend(jobs::read(&files))?;
        let lost = self.lost(&report);
        let mut told = None;
        if !lost.is_empty() {
            let faulty = faulty(&report);
            let mut kept = Vec::new();
            for file in files.iter_mut().filter(|file| faulty.contains(&file.name)) {
                let last = self.files.iter().find(|last| last.name == file.name);
                if let Some(last) = last.filter(|last| last.bytes != file.bytes) {
                    file.bytes.clone_from(&last.bytes);
                    kept.push(format!("`{}`", file.name));
                }
            }
            report = budget().spend(jobs::read(&files))?;
            if kept.is_empty() || !self.lost(&report).is_empty() {
                let lost: Vec<String> = lost.iter().map(|name| format!("`{name}`")).collect();
                return Ok(Some(format!(
                    "The files were changed so that {} cannot be walked any more. None of the changes is in force; \
                     `gatewright check` shows the errors.",
                    lost.join(", ")
                )));
            }
            told = Some(format!(
                "What {} says now has errors and is not in force: the last version without them is. \
                 `gatewright check` shows the errors.",
                kept.join(", ")
            ));
        }
        self.files = files;
        self.sound = sound(&report);
        let machines = machines(&report);
        store.replace(report, machines);
        Ok(told)
    }

    /// The procedures that were sound and now have errors. One whose file is gone, or is another procedure now, was recalled.
    fn lost(&self, report: &Report) -> Vec<Name> {
        let faulty = faulty(report);
        let lost = |name: &&Name, file: &String| match report.library.procedures.get(&***name) {
            Some(_) => !report.is_sound(name),
            None => faulty.contains(file),
        };
        self.sound.iter().filter(|(name, file)| lost(name, file)).map(|(name, _)| name.clone()).collect()
    }
}

/// When the documents and the registers beside them were last written.
fn stamps(from: &[PathBuf]) -> Option<BTreeMap<PathBuf, files::Stamp>> {
    let mut stamps = files::stamps(from).ok()?;
    let registers = register::places(stamps.keys().filter_map(|path| path.to_str()));
    stamps.extend(registers.into_iter().map(|path| {
        let stamp = files::stamp(&path);
        (path, stamp)
    }));
    Some(stamps)
}

/// The machines, or why they cannot be told.
fn machines(report: &Report) -> Result<records::Register, String> {
    register::read(&report.library).map_err(|error| format!("{error:#}"))
}

/// The procedures without errors, each with the name of its file.
fn sound(report: &Report) -> BTreeMap<Name, String> {
    let all = report.library.procedures.iter().filter(|(name, _)| report.is_sound(name));
    all.map(|(name, document)| {
        (name.clone(), report.library.sources[document.source.0 as usize].name.clone())
    })
    .collect()
}

/// The names of the files with errors.
fn faulty(report: &Report) -> BTreeSet<String> {
    let findings = report.findings();
    let errors = findings.iter().filter(|finding| finding.severity == Severity::Error);
    errors.map(|error| report.library.sources[error.place.source.0 as usize].name.clone()).collect()
}
