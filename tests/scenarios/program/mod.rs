//! The program as people call it: arguments, output, files, exit statuses.

mod amounts;
mod cards;
mod checks;
mod readme;
mod watch;

use crate::support::run::{self, stderr, stdout};
use std::path::Path;
use std::process::Output;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Runs the program in a folder with an empty environment.
fn gatewright(folder: &Path, arguments: &[&str]) -> Output {
    run::gatewright(folder, arguments).output().expect("the program starts")
}
