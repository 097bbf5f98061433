//! The machines of a site, from the registers beside its procedures.

use crate::{files, output};
use anyhow::{Context, Result, anyhow, bail};
use document::{Library, Zone};
use records::Register;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::Once;

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

/// The names of a library's documents.
pub(crate) fn beside(library: &Library) -> impl Iterator<Item = &str> {
    library.sources.iter().map(|source| source.name.as_str())
}

/// The registers beside documents, each with its place.
fn registers<'a>(documents: impl IntoIterator<Item = &'a str>) -> Result<Vec<(PathBuf, Register)>> {
    let mut found = Vec::new();
    let mut seen: BTreeSet<PathBuf> = BTreeSet::new();
    for path in places(documents) {
        let Some(text) = files::text(&path)? else { continue };
        // A folder may be reached by two names, as `.` and the empty one.
        if seen.insert(std::fs::canonicalize(&path).unwrap_or_else(|_| path.clone())) {
            let register = Register::parse(&text).with_context(|| format!("`{}`", path.display()))?;
            found.push((path, register));
        }
    }
    Ok(found)
}

/// Reads the registers beside the documents and makes sure that they fit them. Several are taken together; none where no
/// register stands there.
pub(crate) fn read(library: &Library) -> Result<Option<Register>> {
    let mut all: Option<Register> = None;
    for (path, register) in registers(beside(library))? {
        if let [first, rest @ ..] = &register.faults(library)[..] {
            let more = if rest.is_empty() { String::new() } else { format!("; {}", rest.join("; ")) };
            bail!("`{}`: {first}{more}", path.display());
        }
        match &mut all {
            None => all = Some(register),
            Some(all) => all.merge(register).map_err(|why| anyhow!("`{}`: {why}", path.display()))?,
        }
    }
    Ok(all)
}

/// The zone in which days are judged, by the registers beside the documents; none where no register stands there.
pub(crate) fn zone<'a>(documents: impl IntoIterator<Item = &'a str>) -> Result<Option<Zone>> {
    let mut zone: Option<Zone> = None;
    for (path, register) in registers(documents)? {
        let here = register.site.zone;
        if let Some(other) = zone.filter(|other| *other != here) {
            let (here, other) = (here.name(), other.name());
            bail!("`{}`: its zone is `{here}` and that of another register `{other}`", path.display());
        }
        zone = Some(here);
    }
    Ok(zone)
}

/// The same; where no register says it, universal time, and that is told once.
pub(crate) fn zone_or_utc<'a>(documents: impl IntoIterator<Item = &'a str>) -> Result<Zone> {
    static TOLD: Once = Once::new();
    let zone = zone(documents)?;
    if zone.is_none() {
        TOLD.call_once(|| {
            output::complain(&format!(
                "gatewright: no `{}` says in which time zone the site lies: days are judged in UTC\n",
                files::REGISTER
            ));
        });
    }
    Ok(zone.unwrap_or(Zone::UTC))
}
