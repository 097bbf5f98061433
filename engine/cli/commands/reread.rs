//! While `serve` runs, documents are read again when their files change. One that does not read stays in force as it last
//! did, one that never did is left out, and people are told. Everything else comes into force: what is not proved under it is
//! not begun any more.

use crate::changes::Changes;
use crate::files::Opened;
use crate::{files, jobs, output, register};
use anyhow::{Result, bail};
use document::model::Name;
use document::{InputFile, Library, Position, Reading, Zone};
use notify::RecursiveMode;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;
use web::{DocumentStore, Machines};

/// Files are looked at so often though the system tells of no change: of what is written elsewhere to a file system of a
/// network it tells nothing, nor of what stands behind a link.
const ANYWAY: Duration = Duration::from_secs(30);
/// A file that still grows is not read before it has been the same for this time.
const SETTLED: Duration = Duration::from_millis(50);
/// So long people wait for the judgement of the documents when the program starts; then they are served, and what is not
/// judged is not begun yet.
const PATIENCE: Duration = Duration::from_secs(3);

/// Shared with the thread that judges.
type Unproved = Arc<Mutex<BTreeSet<Name>>>;

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
    /// The procedures that were last found not to be proved.
    unproved: Unproved,
    /// The machines as registers beside them last listed them; none where they never could be read.
    machines: Option<Option<records::Register>>,
    /// What people are told of registers that do not read as they stand.
    unread_register: Option<String>,
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
        let zone = match register::zone(register::beside(&reading.library)) {
            Ok(zone) => zone,
            Err(error) if has_open => {
                told.push(format!("{error:#}: days are judged in UTC until it can be read."));
                None
            }
            Err(error) => return Err(error),
        };
        let mut first = Self {
            from: from.to_vec(),
            changes,
            seen,
            has_unopened,
            files,
            unproved: Unproved::default(),
            machines: None,
            unread_register: None,
            zone,
        };
        let machines = first.machines(&reading.library);
        told.extend(machines.unread.clone());
        let store = Arc::new(DocumentStore::new(reading, machines));
        for line in &told {
            output::complain(&format!("gatewright: {line}\n"));
        }
        store.set_notice(in_a_line(&told));
        judge(&store, &first.unproved, false);
        store.await_judged(PATIENCE);
        Ok((first, store))
    }

    /// Waits for changes for as long as the program runs.
    pub(super) fn go_on(mut self, store: &Arc<DocumentStore>) {
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
            let has_new_register = registers(&now) != registers(&self.seen);
            self.seen = now;
            // A folder that was put in the place of another is not the one that was watched. What cannot be watched is
            // looked at anyway, and told if it cannot be read.
            let _ = watch(&mut self.changes, &self.from);
            store.set_notice(self.again(store, has_new_register).unwrap_or_else(|error| {
                Some(format!("The documents cannot be read again ({error:#}): the last ones stay in force."))
            }));
        }
    }

    /// Reads the files and puts them into force; gives what people are told of those that do not read.
    fn again(&mut self, store: &Arc<DocumentStore>, has_new_register: bool) -> Result<Option<String>> {
        let Taken { files, reading, unread, has_unopened, mut told } =
            Taken::new(&self.files, files::open_all(&self.from));
        self.has_unopened = has_unopened;
        if files.is_empty() {
            bail!("no `.yaml` file is there to read");
        }
        if self.files.iter().any(|last| unread.contains(&last.name)) {
            return Ok(Some(SAME_NAME.to_owned()));
        }
        let is_same =
            |(one, other): (&InputFile, &InputFile)| one.name == other.name && one.bytes == other.bytes;
        let are_same = files.len() == self.files.len() && files.iter().zip(&self.files).all(is_same);
        if are_same && !has_new_register {
            told.extend(self.unread_register.clone());
            return Ok(in_a_line(&told));
        }
        self.files = files;
        self.zone = register::zone(register::beside(&reading.library)).unwrap_or(self.zone);
        let machines = self.machines(&reading.library);
        told.extend(machines.unread.clone());
        store.replace(reading, machines);
        judge(store, &self.unproved, true);
        Ok(in_a_line(&told))
    }
}

impl Reread {
    /// What the registers beside the documents say. One that does not read, or does not fit them, stays in force as it last
    /// did.
    fn machines(&mut self, library: &Library) -> Machines {
        let zone = self.zone;
        let (register, unread) = match register::read(library) {
            Ok(register) => {
                self.machines = Some(register.clone());
                (Ok(register), None)
            }
            Err(error) => {
                let error = format!("{error:#}");
                match &self.machines {
                    Some(last) => {
                        let told = format!("{error}: the register stays in force as it last was.");
                        (Ok(last.clone()), Some(told))
                    }
                    None => {
                        let told = format!("{error}: which machines are out of service is not known.");
                        (Err(error), Some(told))
                    }
                }
            }
        };
        self.unread_register.clone_from(&unread);
        // One that only does not fit, as where not all procedures are served, can be read.
        let is_lost = register.is_err() && register::zone(register::beside(library)).is_err();
        Machines { register, is_lost, unread, zone }
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

/// When the registers among the files were last written.
fn registers(stamps: &BTreeMap<PathBuf, files::Stamp>) -> BTreeMap<&PathBuf, &files::Stamp> {
    let is_register = |path: &Path| path.file_name().is_some_and(|name| name == files::REGISTER);
    stamps.iter().filter(|(path, _)| is_register(path)).collect()
}

/// Judges what is in force on a thread of its own: meanwhile changes are seen, and people can sign in, stop and leave. What
/// is newly not proved `is_told`.
fn judge(store: &Arc<DocumentStore>, unproved: &Unproved, is_told: bool) {
    let (store, unproved) = (Arc::clone(store), Arc::clone(unproved));
    std::thread::spawn(move || {
        let each = |name: &Name, finding: Option<&str>| {
            let mut unproved = unproved.lock().unwrap_or_else(PoisonError::into_inner);
            let Some(finding) = finding else {
                unproved.remove(name);
                return;
            };
            if unproved.insert(name.clone()) && is_told {
                output::complain(&format!(
                    "gatewright: `{name}` is not proved under what is written now and cannot be begun: {finding}\n"
                ));
            }
        };
        if let Err(fault) = store.judge(&each) {
            output::complain(&format!("gatewright: {fault}; what is not judged cannot be begun\n"));
        }
    });
}
