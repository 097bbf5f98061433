//! The program as people call it: arguments, output, files, exit statuses.

mod amounts;
mod cards;
mod checks;
mod readme;
mod watch;

use std::path::Path;
use std::process::{Command, Output};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Runs the program in a folder with an empty environment.
fn gatewright(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_gatewright"))
        .current_dir(folder)
        .env_clear()
        .args(arguments)
        .output()
        .expect("the program starts")
}

fn stdout(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("output is UTF-8")
}

fn stderr(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("output is UTF-8")
}
