//! While `serve` runs, documents are read again when their files change. One that does not read stays in force as it last
//! did, one that never did is left out, and people are told. Everything else comes into force: what is not proved under it is
//! not begun any more.

use super::budget;
use crate::changes::Changes;
use crate::files::Opened;
use crate::{files, jobs, output, register};
use anyhow::{Result, bail};
use check::Report;
use document::model::Name;
use document::{InputFile, Position, Reading, Zone};
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
    /// The files as they were when they were last read.
    seen: BTreeMap<PathBuf, files::Stamp>,
    /// Whether one could not be opened then: that it can be now, nothing need tell.
    has_unopened: bool,
    /// The files in force.
    files: Vec<InputFile>,
    /// The procedures that are not proved under them.
    unproved: BTreeSet<Name>,
    /// The zone that a register beside them names. One that cannot be read any more leaves it as it was.
    zone: Option<Zone>,
}

impl Reread {
    /// The documents as they stand when the program starts. What does not read is told and not in force. What cannot be opened
    /// ends the program, unless walks are open: they carry their own documents, and are served.
    pub(super) fn first(from: &[PathBuf], has_open: bool) -> Result<(Self, Arc<DocumentStore>)> {
        // Watched and looked at before they are read: what changes in between is read again.
        let mut changes = Changes::new()?;
        // What cannot be watched is looked at anyway.
        let _ = watch(&mut changes, from);
        let seen = stamps(from);
        let opened = if has_open { files::open_all(from) } else { files::read_all(from)?.into() };
        let Taken { files, reading, unread: _, has_unopened, mut told } = Taken::new(&[], opened);
        let report = budget().spend(reading)?;
        let zone = match register::zone(register::beside(&report.library)) {
            Ok(zone) => zone,
            Err(error) if has_open => {
                told.push(format!("{error:#}: days are judged in UTC until it can be read."));
                None
            }
            Err(error) => return Err(error),
        };
        let unproved = unproved(&report);
        let first = Self { from: from.to_vec(), changes, seen, has_unopened, files, unproved, zone };
        let machines = machines(&report);
        let store = DocumentStore::new(report, machines, zone);
        for line in &told {
            output::complain(&format!("gatewright: {line}\n"));
        }
        store.set_notice(in_a_line(&told));
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
            if now == self.seen && !self.has_unopened {
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
        let Taken { files, reading, unread, has_unopened, told } =
            Taken::new(&self.files, files::open_all(&self.from));
        self.has_unopened = has_unopened;
        if files.is_empty() {
            bail!("no `.yaml` file is there to read");
        }
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
        Ok(in_a_line(&told))
    }
}

/// Told where a document has the name of one that is in force: nobody can say which of them counts.
const SAME_NAME: &str =
    "Two documents have the same name: none of the changes is in force. `gatewright check` shows them.";

/// What people are told, if anything.
fn in_a_line(told: &[String]) -> Option<String> {
    (!told.is_empty()).then(|| format!("{} `gatewright check` shows what is wrong.", told.join(" ")))
}

/// Files as they come into force.
struct Taken {
    /// Those that read; one that does not, as it last did.
    files: Vec<InputFile>,
    reading: Reading,
    /// The names of those that do not read, and never did.
    unread: BTreeSet<String>,
    /// Whether some could not be opened.
    has_unopened: bool,
    /// What people are told of those that do not read, a sentence each.
    told: Vec<String>,
}

impl Taken {
    /// `last` is what was in force before.
    fn new(last: &[InputFile], Opened { mut files, unopened }: Opened) -> Self {
        let mut told = Vec::new();
        for (path, error) in &unopened {
            let kept: Vec<&InputFile> =
                last.iter().filter(|last| Path::new(&last.name).starts_with(path)).collect();
            told.push(if kept.is_empty() {
                format!("{error:#}: it is not in force.")
            } else {
                format!("{error:#}: it stays in force as it last was.")
            });
            files.extend(kept.into_iter().cloned());
        }
        files.sort_by(|one, other| one.name.cmp(&other.name));
        let has_unopened = !unopened.is_empty();
        let reading = jobs::read(&files);
        let unread = unread(&reading);
        if unread.is_empty() {
            return Self { files, reading, unread: BTreeSet::new(), has_unopened, told };
        }
        for file in &mut files {
            let Some(fault) = unread.get(&file.name) else { continue };
            told.push(match last.iter().find(|last| last.name == file.name) {
                Some(last) => {
                    file.bytes.clone_from(&last.bytes);
                    format!(
                        "What `{}` says now does not read: it stays in force as it last did. {fault}",
                        file.name
                    )
                }
                None => format!("`{}` does not read and is not in force. {fault}", file.name),
            });
        }
        let reading = jobs::read(&files);
        let unread: BTreeSet<String> = self::unread(&reading).into_keys().collect();
        files.retain(|file| !unread.contains(&file.name));
        Self { files, reading, unread, has_unopened, told }
    }
}

/// The names of the files that do not read, each with the first fault and where it is: their YAML or their shape is wrong, as
/// while somebody types.
fn unread(reading: &Reading) -> BTreeMap<String, String> {
    let mut unread = BTreeMap::new();
    for fault in reading.findings.iter().filter(|finding| finding.code.starts_with(READING)) {
        let source = &reading.library.sources[fault.place.source.0 as usize];
        let Position { line, column } = source.position(fault.place.span.start);
        let told = format!("Line {line}, column {column}: {}.", fault.message.trim_end_matches('.'));
        unread.entry(source.name.clone()).or_insert(told);
    }
    unread
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
fn stamps(from: &[PathBuf]) -> BTreeMap<PathBuf, files::Stamp> {
    let mut stamps = files::stamps(from);
    let registers = register::places(stamps.keys().filter_map(|path| path.to_str()));
    stamps.extend(registers.into_iter().map(|path| {
        let stamp = files::stamp(&path);
        (path, stamp)
    }));
    stamps
}

/// The machines, or why they cannot be told.
fn machines(report: &Report) -> Result<Option<records::Register>, String> {
    register::read(&report.library).map_err(|error| format!("{error:#}"))
}

/// The procedures that are not proved.
fn unproved(report: &Report) -> BTreeSet<Name> {
    report.library.procedures.keys().filter(|name| !report.is_sound(name)).cloned().collect()
}
