//! The machines of a site, from the registers beside its procedures.

use crate::{approvals, files};
use anyhow::{Context, Result, bail};
use document::Library;
use records::Register;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// Where registers may stand: in the folders of these documents and one folder up.
pub(crate) fn places<'a>(documents: impl IntoIterator<Item = &'a str>) -> BTreeSet<PathBuf> {
    let mut places = BTreeSet::new();
    for document in documents {
        let folder = Path::new(document).parent().unwrap_or(Path::new(""));
        let folders = [Some(folder), folder.parent()].into_iter().flatten();
        places.extend(folders.map(|folder| folder.join(files::REGISTER)));
    }
    places
}

/// Reads the registers beside the documents and makes sure that they fit them. Several are taken together.
pub(crate) fn read(library: &Library) -> Result<Register> {
    let mut all = Register::default();
    let mut seen: BTreeSet<PathBuf> = BTreeSet::new();
    for path in places(library.sources.iter().map(|source| source.name.as_str())) {
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
