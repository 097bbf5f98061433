//! The officer's desk: identity of content, approvals, signatures.

mod approving;
mod bundled;
mod comparing;
mod desk;
mod harmless;
mod identity;
mod pairs;
mod signatures;
mod voids;

use crate::support::demo;
use crate::support::run::{self, stderr, stdout};
use document::{InputFile, Library};
use std::collections::BTreeMap;
use std::path::Path;
use std::process::{Command, Output};

/// The bundled files with some of them written otherwise.
fn library(changes: &BTreeMap<String, String>) -> Library {
    let files: Vec<InputFile> = demo::files()
        .into_iter()
        .map(|file| match changes.get(file.name.trim_end_matches(".yaml")) {
            Some(text) => InputFile { bytes: text.clone().into_bytes(), ..file },
            None => file,
        })
        .collect();
    let reading = document::read(&files);
    let errors: Vec<&str> = reading.findings.iter().map(|finding| finding.message.as_str()).collect();
    assert_eq!(errors, Vec::<&str>::new(), "the edit still reads");
    reading.library
}

/// The hash of every bundled procedure.
fn hashes(library: &Library) -> BTreeMap<String, String> {
    let hash = |name: &str| library.content_hash(name).expect("a hash");
    demo::PROCEDURES.into_iter().map(|name| (name.to_owned(), hash(name))).collect()
}

/// One text in place of another that stands there exactly once.
fn swap(text: &str, from: &str, to: &str) -> String {
    assert_eq!(text.matches(from).count(), 1, "`{from}`");
    text.replace(from, to)
}

/// Our program in a folder, with no more of an environment than a path: it runs git.
fn with_path(folder: &Path, arguments: &[&str]) -> Command {
    let mut command = run::gatewright(folder, arguments);
    command.env("PATH", std::env::var_os("PATH").unwrap_or_default());
    command
}

fn gatewright(folder: &Path, arguments: &[&str]) -> Output {
    with_path(folder, arguments).output().expect("the program starts")
}
