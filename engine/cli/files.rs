//! Finding and reading documents.

use crate::jobs;
use anyhow::{Context, bail};
use document::InputFile;
use std::collections::BTreeMap;
use std::fs;
use std::io::{self, Read as _, Write as _};
use std::path::{Path, PathBuf};
use std::sync::OnceLock;
use std::time::SystemTime;

/// The folder read when none is named.
pub(crate) const DEFAULT_FOLDER: &str = "procedures";
/// The people of a site, beside its procedures.
pub(crate) const PEOPLE: &str = "people.yaml";
/// The machines of a site, beside its procedures.
pub(crate) const REGISTER: &str = "register.yaml";
/// How the name of an approval ends.
pub(crate) const APPROVAL: &str = ".approval.yaml";
/// How the name of a file of remarks on a returned procedure ends.
pub(crate) const RETURNED: &str = ".returned.yaml";
/// The keys that may sign approvals, beside the people.
pub(crate) const SIGNERS: &str = "allowed-signers";
/// Folders deeper than this below a named one are not looked into: a link may lead in a circle.
const DEPTH_LIMIT: usize = 16;
/// A file longer than this is not read whole; the reader then says so.
const READ_LIMIT: u64 = document::limits::MAX_BYTES as u64 + 1;

/// Reads the named files, and every `.yaml` and `.yml` file below the named folders, in order of their names.
pub(crate) fn read_all(paths: &[PathBuf]) -> anyhow::Result<Vec<InputFile>> {
    let Opened { files, unopened } = open_all(paths);
    if let Some((_, error)) = unopened.into_iter().next() {
        return Err(error);
    }
    if files.is_empty() {
        bail!("no `.yaml` file is there to read");
    }
    Ok(files)
}

/// Documents as they were found.
pub(crate) struct Opened {
    /// Those that could be opened, in order of their names.
    pub(crate) files: Vec<InputFile>,
    /// Files and folders that could not be, each with why.
    pub(crate) unopened: Vec<(PathBuf, anyhow::Error)>,
}

impl From<Vec<InputFile>> for Opened {
    fn from(files: Vec<InputFile>) -> Self {
        Self { files, unopened: Vec::new() }
    }
}

/// The same, with what cannot be opened told beside what can.
pub(crate) fn open_all(paths: &[PathBuf]) -> Opened {
    let Found { files: mut found, mut unopened } = find_all(paths);
    found.sort();
    found.dedup();
    let slots: Vec<OnceLock<anyhow::Result<InputFile>>> = found.iter().map(|_| OnceLock::new()).collect();
    jobs::side_by_side("opening", found.len(), &|at| {
        slots[at].get_or_init(|| read(&found[at]));
    });
    let mut files = Vec::new();
    for (path, read) in found.into_iter().zip(slots.into_iter().filter_map(OnceLock::into_inner)) {
        match read {
            Ok(file) => files.push(file),
            Err(error) => unopened.push((path, error)),
        }
    }
    Opened { files, unopened }
}

/// When each of the named files, and every document below the named folders, was last written, and how long it is; of what
/// cannot be opened, nothing.
pub(crate) fn stamps(paths: &[PathBuf]) -> BTreeMap<PathBuf, Stamp> {
    let Found { files, unopened } = find_all(paths);
    let found = files.into_iter().map(|path| (stamp(&path), path));
    let unopened = unopened.into_iter().map(|(path, _)| (None, path));
    found.chain(unopened).map(|(stamp, path)| (path, stamp)).collect()
}

/// When a file was last written, and how long it is; none if it is not there.
pub(crate) type Stamp = Option<(Option<SystemTime>, u64)>;

/// The stamp of a file.
pub(crate) fn stamp(path: &Path) -> Stamp {
    fs::metadata(path).ok().map(|file| (file.modified().ok(), file.len()))
}

/// Files that may be documents, and what could not be looked into.
#[derive(Default)]
struct Found {
    files: Vec<PathBuf>,
    unopened: Vec<(PathBuf, anyhow::Error)>,
}

fn find_all(paths: &[PathBuf]) -> Found {
    let default = [PathBuf::from(DEFAULT_FOLDER)];
    let mut found = Found::default();
    for path in if paths.is_empty() { &default[..] } else { paths } {
        found.collect(path, true, 0);
    }
    found
}

impl Found {
    fn collect(&mut self, path: &Path, named: bool, depth: usize) {
        match fs::metadata(path) {
            Err(error) => self.could_not_open(path, error),
            Ok(kind) if kind.is_dir() => {
                if depth < DEPTH_LIMIT {
                    match fs::read_dir(path).and_then(Iterator::collect::<io::Result<Vec<_>>>) {
                        Ok(entries) => {
                            for entry in entries {
                                self.collect(&entry.path(), false, depth + 1);
                            }
                        }
                        Err(error) => self.could_not_open(path, error),
                    }
                }
            }
            Ok(_) if named || is_document(path) => self.files.push(path.to_owned()),
            Ok(_) => {}
        }
    }

    fn could_not_open(&mut self, path: &Path, error: io::Error) {
        let error = anyhow::Error::new(error).context(format!("`{}` cannot be read", path.display()));
        self.unopened.push((path.to_owned(), error));
    }
}

/// Whether a file in a folder is a procedure or equipment: what says who approved one, or who the people
/// and which the machines are, is not.
pub(crate) fn is_document(path: &Path) -> bool {
    let name = path.file_name().and_then(|name| name.to_str()).unwrap_or_default();
    let yaml = path.extension().is_some_and(|ending| ending == "yaml" || ending == "yml");
    yaml && name != PEOPLE && name != REGISTER && !name.ends_with(APPROVAL) && !name.ends_with(RETURNED)
}

fn read(path: &Path) -> anyhow::Result<InputFile> {
    let unreadable = || format!("`{}` cannot be read", path.display());
    let mut bytes = Vec::new();
    fs::File::open(path)
        .with_context(unreadable)?
        .take(READ_LIMIT)
        .read_to_end(&mut bytes)
        .with_context(unreadable)?;
    Ok(InputFile { name: path.display().to_string(), bytes })
}

/// The text of a file; none if it is not there.
pub(crate) fn text(path: &Path) -> anyhow::Result<Option<String>> {
    match std::fs::read_to_string(path) {
        Ok(text) => Ok(Some(text)),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(error).with_context(|| format!("`{}` cannot be read", path.display())),
    }
}

/// Writes a file, making its folder; an unchanged file is left alone. It is written beside and renamed, so that whoever
/// looks, and whoever looks after a failure, finds the old file or the new one whole. A link stays one.
pub(crate) fn write(path: &Path, bytes: &[u8]) -> anyhow::Result<()> {
    if fs::read(path).is_ok_and(|old| old == bytes) {
        return Ok(());
    }
    if let Some(folder) = path.parent() {
        fs::create_dir_all(folder).with_context(|| format!("`{}` cannot be made", folder.display()))?;
    }
    replace(path, bytes).with_context(|| format!("`{}` cannot be written", path.display()))
}

fn replace(path: &Path, bytes: &[u8]) -> io::Result<()> {
    // A file that may not be written is not replaced either.
    let (path, old) = match fs::OpenOptions::new().write(true).open(path) {
        Ok(mut open) => {
            let kind = open.metadata()?;
            if !kind.is_file() {
                return open.write_all(bytes);
            }
            (fs::canonicalize(path)?, Some(kind.permissions()))
        }
        // A link to a file that is not there yet leads to where it is made.
        Err(error) if error.kind() == io::ErrorKind::NotFound => match fs::read_link(path) {
            Ok(target) => (path.with_file_name(target), None),
            Err(_) => (path.to_owned(), None),
        },
        Err(error) => return Err(error),
    };
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let beside = path.with_file_name(format!(".{name}.{}.new", std::process::id()));
    let written = fill(&beside, bytes, old).and_then(|()| fs::rename(&beside, &path));
    if written.is_err() {
        // What failed is told; that a piece of it may lie about is not worth more words.
        let _ = fs::remove_file(&beside);
    }
    written
}

fn fill(path: &Path, bytes: &[u8], permissions: Option<fs::Permissions>) -> io::Result<()> {
    let mut file = fs::File::create(path)?;
    if let Some(permissions) = permissions {
        file.set_permissions(permissions)?;
    }
    file.write_all(bytes)?;
    file.sync_all()
}
