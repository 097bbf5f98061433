//! PDF cards as others read them: poppler's tools, and a general-purpose library for the structure.

mod booklet;
mod bounds;
mod forms;
mod sheets;
mod stress;
mod structure;
mod words;

use card::page::{Approval, CardApproval, Page, build};
use document::{InputFile, read};
use std::path::{Path, PathBuf};
use std::process::Command;
use tempfile::TempDir;

/// Arguments for a paper, the ending of the file's name, the size of a page in millimetres, and pages on a side of the
/// sheet.
type OnPaper = (&'static [&'static str], &'static str, (f64, f64), usize);

const PAPERS: [OnPaper; 5] = [
    (&["--paper", "a4"], "", (210.0, 297.0), 1),
    (&["--paper", "letter"], "-letter", (215.9, 279.4), 1),
    (&["--paper", "pocket"], "-pocket", (105.0, 148.0), 1),
    (&["--paper", "pocket", "--n-up"], "-pocket-on-a4", (105.0, 148.5), 2),
    (&["--paper", "pocket", "--n-up", "letter"], "-pocket-on-letter", (107.95, 139.7), 2),
];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Writes the cards of all bundled procedures on all papers.
fn cards() -> TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    for (paper, ..) in PAPERS {
        let output = Command::new(env!("CARGO_BIN_EXE_gatewright"))
            .current_dir(root())
            .env_clear()
            .args(["card", "--all", "--form", "pdf", "--out"])
            .arg(folder.path())
            .args(paper)
            .output()
            .expect("the program starts");
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    }
    folder
}

fn card_of(folder: &TempDir, name: &str, ending: &str) -> PathBuf {
    folder.path().join(name).join(format!("card{ending}.pdf"))
}

/// The page models of all bundled procedures.
fn pages() -> Vec<Page> {
    let folder = root().join("procedures/oskerry-22");
    let mut names: Vec<PathBuf> =
        std::fs::read_dir(folder).expect("procedures").map(|entry| entry.expect("an entry").path()).collect();
    names.sort();
    let file = |path: &PathBuf| InputFile {
        name: path.display().to_string(),
        bytes: std::fs::read(path).expect("a document"),
    };
    let files: Vec<InputFile> = names.iter().map(file).collect();
    let library = read(&files).library;
    let pages: Vec<Page> = library
        .procedures
        .keys()
        .map(|name| {
            let content = library.content_hash(name).expect("a hash");
            let standing = CardApproval { content, approval: Approval::NotApproved };
            build(&library, name, &standing, None).expect("a page")
        })
        .collect();
    assert_eq!(pages.len(), 7);
    pages
}

/// What a program from outside writes to standard output.
fn outside(program: &Path, arguments: &[&str]) -> String {
    let output = Command::new(program).args(arguments).output();
    let output = output.unwrap_or_else(|error| panic!("{}: {error}; run `tests/run`", program.display()));
    assert!(
        output.status.success(),
        "{}: {}{}",
        program.display(),
        String::from_utf8_lossy(&output.stdout),
        String::from_utf8_lossy(&output.stderr)
    );
    String::from_utf8(output.stdout).expect("UTF-8")
}

#[test]
fn only_pocket_pages_go_four_to_a_sheet() {
    let folder = tempfile::tempdir().expect("a folder");
    let output = Command::new(env!("CARGO_BIN_EXE_gatewright"))
        .current_dir(root())
        .args(["card", "tip-swap", "--form", "pdf", "--paper", "a4", "--n-up", "--out"])
        .arg(folder.path())
        .output()
        .expect("the program starts");
    assert_eq!(output.status.code(), Some(2));
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(said.contains("give `--paper pocket` with them"), "{said}");
}
