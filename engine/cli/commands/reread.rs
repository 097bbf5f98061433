//! While `serve` runs, documents are read again when their files change. What has errors does not come into force: its last
//! version without them stays, and people are told.

use super::budget;
use crate::changes::Changes;
use crate::{files, jobs, register};
use anyhow::Result;
use check::Report;
use document::model::Name;
use document::{InputFile, Severity, Zone};
use notify::RecursiveMode;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;
use web::DocumentStore;

/// Files are looked at so often though the system tells of no change: of what is written elsewhere to a file system of a
/// network it tells nothing, nor of what stands behind a link.
const ANYWAY: Duration = Duration::from_secs(30);
/// A file that still grows is not read before it has been the same for this time.
const SETTLED: Duration = Duration::from_millis(50);

/// What is in force, and what it was read from.
pub(super) struct Reread {
    from: Vec<PathBuf>,
    changes: Changes,
    /// The files as they were when they were last read; none if they could not be looked at.
    seen: Option<BTreeMap<PathBuf, files::Stamp>>,
    /// The files in force.
    files: Vec<InputFile>,
    /// The procedures without errors, each with the name of its file.
    sound: BTreeMap<Name, String>,
    /// The zone that a register beside them names. One that cannot be read any more leaves it as it was.
    zone: Option<Zone>,
}

impl Reread {
    /// The documents as they stand when the program starts.
    pub(super) fn first(from: &[PathBuf]) -> Result<(Self, Arc<DocumentStore>)> {
        // Watched and looked at before they are read: what changes in between is read again.
        let mut changes = Changes::new()?;
        watch(&mut changes, from)?;
        let seen = stamps(from);
        let files = files::read_all(from)?;
        let report = budget().spend(jobs::read(&files))?;
        let zone = register::zone(register::beside(&report.library))?;
        let first = Self { from: from.to_vec(), changes, seen, files, sound: sound(&report), zone };
        let machines = machines(&report);
        Ok((first, Arc::new(DocumentStore::new(report, machines, zone))))
    }

    /// Waits for changes for as long as the program runs.
    pub(super) fn go_on(mut self, store: &DocumentStore) {
        loop {
            // A watcher that has ended leaves the looks that are taken anyway.
            let changed = self.changes.next(ANYWAY).unwrap_or_else(|_| {
                std::thread::sleep(ANYWAY);
                None
            });
            if changed.is_some_and(|changed| !changed.iter().any(|path| touches(path))) {
                continue;
            }
            let mut now = stamps(&self.from);
            if now == self.seen {
                continue;
            }
            loop {
                std::thread::sleep(SETTLED);
                let later = stamps(&self.from);
                if later == now {
                    break;
                }
                now = later;
            }
            self.seen = now;
            // A folder that was put in the place of another is not the one that was watched. What cannot be watched is
            // looked at anyway, and told if it cannot be read.
            let _ = watch(&mut self.changes, &self.from);
            store.set_notice(self.again(store).unwrap_or_else(|error| {
                Some(format!("The documents cannot be read again ({error:#}): the last ones stay in force."))
            }));
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
        self.zone = register::zone(register::beside(&report.library)).unwrap_or(self.zone);
        store.replace(report, machines, self.zone);
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

/// Watches the documents and where their registers may stand.
fn watch(changes: &mut Changes, from: &[PathBuf]) -> Result<()> {
    let default = [PathBuf::from(files::DEFAULT_FOLDER)];
    let from = if from.is_empty() { &default[..] } else { from };
    let named = |path: Option<&'_ Path>| match path {
        Some(path) if path != Path::new("") => path.to_owned(),
        Some(_) | None => PathBuf::from("."),
    };
    // A file that is replaced by another of its name is told by its folder alone.
    let folder = |path: &PathBuf| if path.is_dir() { path.clone() } else { named(path.parent()) };
    let roots: BTreeSet<PathBuf> = from.iter().map(folder).collect();
    for root in &roots {
        // One folder up a register may stand; and there a folder is seen to go and to come back.
        let _ = changes.watch(&named(root.parent()), RecursiveMode::NonRecursive);
    }
    for root in &roots {
        changes.watch(root, RecursiveMode::Recursive)?;
    }
    Ok(())
}

/// Whether it may change what is read: documents and registers, and whatever is no file or no longer there.
fn touches(path: &Path) -> bool {
    let register = path.file_name().is_some_and(|name| name == files::REGISTER);
    register || files::is_document(path) || !path.symlink_metadata().is_ok_and(|kind| kind.is_file())
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
fn machines(report: &Report) -> Result<Option<records::Register>, String> {
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
