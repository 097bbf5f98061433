//! Documents as they were in a revision of the repository.

use crate::files;
use anyhow::{Context, Result, bail};
use document::InputFile;
use std::path::Path;
use std::process::Command;

/// All documents of a folder as they were in a revision of the repository.
pub(crate) fn in_revision(revision: &str, folder: &Path) -> Result<Vec<InputFile>> {
    if revision.starts_with('-') {
        bail!("`{revision}` is no revision");
    }
    let folder = folder.display().to_string();
    let within = if folder == "." { String::new() } else { format!("{}/", folder.trim_end_matches('/')) };
    let list = git(&["ls-tree", "--name-only", revision, &format!("./{within}")])?;
    let list = String::from_utf8(list).context("names of files in the repository are no text")?;
    let mut files = Vec::new();
    for path in list.lines().filter(|path| files::is_document(Path::new(path))) {
        let name = format!("{revision}:{path}");
        let bytes = git(&["show", &format!("{revision}:./{path}")])?;
        files.push(InputFile { name, bytes });
    }
    if files.is_empty() {
        bail!("`{revision}` holds no document in `{folder}`");
    }
    Ok(files)
}

/// What `git` answers.
pub(crate) fn git(arguments: &[&str]) -> Result<Vec<u8>> {
    let output = Command::new("git").args(arguments).output().context("`git` cannot be run")?;
    if !output.status.success() {
        let said = String::from_utf8_lossy(&output.stderr);
        bail!("git {}: {}", arguments.join(" "), said.lines().next().unwrap_or("it failed"));
    }
    Ok(output.stdout)
}
