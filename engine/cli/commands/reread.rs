//! While `serve` runs, documents are read again when their files change. One that does not read stays in force as it last
//! did, and people are told. Everything else comes into force: what is not proved under it is not begun any more.

use super::budget;
use crate::changes::Changes;
use crate::{files, jobs, output, register};
use anyhow::Result;
use check::Report;
use document::model::Name;
use document::{InputFile, Reading, Zone};
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
    /// The procedures that are not proved under them.
    unproved: BTreeSet<Name>,
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
        let Taken { files, reading, unread: _, told } = Taken::new(&[], files::read_all(from)?);
        let report = budget().spend(reading)?;
        let zone = register::zone(register::beside(&report.library))?;
        let first = Self { from: from.to_vec(), changes, seen, files, unproved: unproved(&report), zone };
        let machines = machines(&report);
        let store = DocumentStore::new(report, machines, zone);
        store.set_notice(told);
        Ok((first, Arc::new(store)))
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

    /// Reads the files and puts them into force; gives what people are told of those that do not read.
    fn again(&mut self, store: &DocumentStore) -> Result<Option<String>> {
        let Taken { files, reading, unread, told } = Taken::new(&self.files, files::read_all(&self.from)?);
        if self.files.iter().any(|last| unread.contains(&last.name)) {
            return Ok(Some(SAME_NAME.to_owned()));
        }
        let report = budget().spend(reading)?;
        let unproved = unproved(&report);
        for name in unproved.difference(&self.unproved) {
            let finding = records::not_proved(&report, name).unwrap_or_default();
            output::complain(&format!(
                "gatewright: `{name}` is not proved under what is written now and cannot be begun: {finding}\n"
            ));
        }
        self.files = files;
        self.unproved = unproved;
        let machines = machines(&report);
        self.zone = register::zone(register::beside(&report.library)).unwrap_or(self.zone);
        store.replace(report, machines, self.zone);
        Ok(told)
    }
}

/// Told where a document has the name of one that is in force: nobody can say which of them counts.
const SAME_NAME: &str =
    "Two documents have the same name: none of the changes is in force. `gatewright check` shows them.";

/// Files as they come into force.
struct Taken {
    /// Those that read; one that does not, as it last did.
    files: Vec<InputFile>,
    reading: Reading,
    /// The names of those that do not read, and never did.
    unread: BTreeSet<String>,
    /// What people are told of those that do not read.
    told: Option<String>,
}

impl Taken {
    /// `last` is what was in force before.
    fn new(last: &[InputFile], mut files: Vec<InputFile>) -> Self {
        let reading = jobs::read(&files);
        let unread = unread(&reading);
        if unread.is_empty() {
            return Self { files, reading, unread, told: None };
        }
        let mut told = Vec::new();
        for file in files.iter_mut().filter(|file| unread.contains(&file.name)) {
            match last.iter().find(|last| last.name == file.name) {
                Some(last) => {
                    file.bytes.clone_from(&last.bytes);
                    told.push(format!(
                        "What `{}` says now does not read: it stays in force as it last did.",
                        file.name
                    ));
                }
                None => told.push(format!("`{}` does not read and is not in force.", file.name)),
            }
        }
        told.push("`gatewright check` shows what is wrong.".to_owned());
        let reading = jobs::read(&files);
        let unread = self::unread(&reading);
        files.retain(|file| !unread.contains(&file.name));
        Self { files, reading, unread, told: Some(told.join(" ")) }
    }
}

/// The names of the files that do not read: their YAML or their shape is wrong, as while somebody types.
fn unread(reading: &Reading) -> BTreeSet<String> {
    let faults = reading.findings.iter().filter(|finding| finding.code.starts_with(READING));
    faults.map(|fault| reading.library.sources[fault.place.source.0 as usize].name.clone()).collect()
}

/// The family of the codes of documents that do not read.
const READING: char = 'R';

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

/// The procedures that are not proved.
fn unproved(report: &Report) -> BTreeSet<Name> {
    report.library.procedures.keys().filter(|name| !report.is_sound(name)).cloned().collect()
}
