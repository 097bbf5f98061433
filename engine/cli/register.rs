//! The machines of a site, from the registers beside its procedures.

use crate::{approvals, files};
use anyhow::{Context, Result, bail};
use document::Library;
use records::Register;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// Reads `register.yaml` in the folders of the documents and one folder up, and makes sure that it fits them. Several are
/// taken together.
pub(crate) fn read(library: &Library) -> Result<Register> {
    let mut folders: BTreeSet<PathBuf> = BTreeSet::new();
    for source in &library.sources {
        let folder = Path::new(&source.name).parent().unwrap_or(Path::new(""));
        folders.extend([Some(folder), folder.parent()].into_iter().flatten().map(Path::to_owned));
    }
    let mut all = Register::default();
    let mut seen: BTreeSet<PathBuf> = BTreeSet::new();
    for folder in folders {
        let path = folder.join(files::REGISTER);
        let Some(text) = approvals::text(&path)? else { continue };
        // A folder may be reached by two names, as `.` and the empty one.
        if !seen.insert(std::fs::canonicalize(&path).unwrap_or_else(|_| path.clone())) {
            continue;
        }
        let of = || format!("`{}`", path.display());
        let register = Register::parse(&text).with_context(of)?;
        if let [first, rest @ ..] = &register.faults(library)[..] {
            let more = if rest.is_empty() { String::new() } else { format!("; {}", rest.join("; ")) };
            bail!("{}: {first}{more}", of());
        }
        if let Err(equipment) = all.merge(register) {
            bail!("{}: the machines of `{equipment}` stand in another register too", of());
        }
    }
    Ok(all)
}
