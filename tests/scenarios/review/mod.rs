//! The officer's desk: identity of content, approvals, signatures.

mod approving;
mod bundled;
mod comparing;
mod desk;
mod signatures;

use crate::support::run::{self, stderr, stdout};
use std::path::Path;
use std::process::{Command, Output};

/// Our program in a folder, with no more of an environment than a path: it runs git.
fn with_path(folder: &Path, arguments: &[&str]) -> Command {
    let mut command = run::gatewright(folder, arguments);
    command.env("PATH", std::env::var_os("PATH").unwrap_or_default());
    command
}

fn gatewright(folder: &Path, arguments: &[&str]) -> Output {
    with_path(folder, arguments).output().expect("the program starts")
}
