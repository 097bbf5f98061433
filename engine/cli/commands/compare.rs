//! `compare`: what changed between two revisions, for safety first.

use crate::arguments::{Compare, CompareForm, PageForm};
use crate::exit::Exit;
use crate::repository::in_revision;
use crate::{files, jobs, output};
use ::check::Checked;
use anyhow::{Context, Result, bail};
use document::Library;
use review::{Class, Side};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

/// How many sets of states may be explored on each side.
const STATES: usize = 500_000;

/// One revision: a file on disk, or in a revision of the repository.
struct Named {
    revision: Option<String>,
    path: PathBuf,
}

pub(crate) fn run(options: &Compare) -> Result<Exit> {
    let (old, new) = match (&options.git, &options.new) {
        (Some(range), None) => {
            let (old, new) = range.split_once("..").context("`--git` takes two revisions: `OLD..NEW`")?;
            let path = PathBuf::from(&options.old);
            let at = |revision: &str| Named { revision: Some(revision.to_owned()), path: path.clone() };
            (at(old), at(new))
        }
        (None, Some(new)) => (named(&options.old), named(new)),
        (Some(_), Some(_)) => bail!("with `--git OLD..NEW` one file is named"),
        (None, None) => bail!("two files are compared, or one with `--git OLD..NEW`"),
    };
    let old = Read::new(&old)?;
    let new = Read::new(&new)?;
    let (before, after) = (old.side()?, new.side()?);
    let end = Instant::now() + Duration::from_secs(60);
    let go_on = || Instant::now() < end;
    let budget = ::check::Budget { boxes: STATES, go_on: &go_on };
    let comparison = review::compare(&before, &after, &budget);
    let sheet = || review::pages::comparison(&comparison, &before, &after);
    match options.form {
        CompareForm::Text => output::say(&comparison.text(&before, &after))?,
        CompareForm::Json => output::say(&comparison.json(&before, &after)?)?,
        CompareForm::Html => super::review::give(&sheet(), None, PageForm::Html)?,
        #[cfg(feature = "pdf")]
        CompareForm::Pdf => super::review::give(&sheet(), None, PageForm::Pdf)?,
    }
    Ok(if comparison.class() == Class::Weakened { Exit::Findings } else { Exit::Clean })
}

/// "HEAD~1:procedures/oskerry-22/tip-swap.yaml" or a path.
fn named(text: &str) -> Named {
    if !Path::new(text).exists()
        && let Some((revision, path)) = text.split_once(':')
    {
        return Named { revision: Some(revision.to_owned()), path: PathBuf::from(path) };
    }
    Named { revision: None, path: PathBuf::from(text) }
}

/// Documents of one revision, and the procedure meant, checked. Others beside it are not: they may be many.
struct Read {
    library: Library,
    checked: Checked,
}

impl Read {
    /// Reads a procedure with everything beside it.
    fn new(named: &Named) -> Result<Self> {
        let folder = match named.path.parent() {
            Some(folder) if !folder.as_os_str().is_empty() => folder.to_owned(),
            _ => PathBuf::from("."),
        };
        let files = match &named.revision {
            None => files::read_all(&[folder])?,
            Some(revision) => in_revision(revision, &folder)?,
        };
        let reading = jobs::read(&files);
        let whole = |name: &str| Path::new(name.split_once(':').map_or(name, |(_, path)| path)).to_owned();
        let same = |name: &str| whole(name).file_name() == named.path.file_name();
        let document = reading
            .library
            .procedures
            .values()
            .find(|document| same(&reading.library.sources[document.source.0 as usize].name));
        let Some(document) = document else {
            bail!("`{}` is no procedure that can be read", shown(named));
        };
        let procedure = &document.model.procedure;
        let budget = crate::budget::Budget { states: 2_000_000, seconds: 60 };
        let (checked, _) = budget.each(&reading.library, &reading.findings, &[procedure], |_| ())?;
        let checked = checked.into_iter().next().context("the procedure was not checked")?;
        Ok(Self { library: reading.library, checked })
    }

    fn side(&self) -> Result<Side<'_>> {
        let procedure = &*self.checked.procedure;
        Side::find(&self.library, procedure, Some(&self.checked))
            .with_context(|| format!("the equipment of `{procedure}` is not there"))
    }
}

fn shown(named: &Named) -> String {
    match &named.revision {
        Some(revision) => format!("{revision}:{}", named.path.display()),
        None => named.path.display().to_string(),
    }
}
