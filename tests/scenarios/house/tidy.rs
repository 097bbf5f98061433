//! Files, lines and words.

use super::root;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Every file under version control or about to be.
fn files() -> Vec<PathBuf> {
    let output = Command::new("git")
        .args(["ls-files", "--cached", "--others", "--exclude-standard"])
        .current_dir(root())
        .output()
        .expect("git runs");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let names = String::from_utf8(output.stdout).expect("file names are UTF-8");
    let files: Vec<PathBuf> =
        names.lines().map(PathBuf::from).filter(|path| root().join(path).exists()).collect();
    assert!(files.len() > 100, "only {} files were found", files.len());
    files
}

fn text(path: &Path) -> Option<String> {
    String::from_utf8(std::fs::read(root().join(path)).expect("the file can be read")).ok()
}

#[test]
fn the_top_level_is_as_agreed() {
    let folders = ["engine", "procedures", "schemas", "tests", "out"];
    let plain = ["Cargo.toml", "Cargo.lock", "README.md", "DEVELOPERS.md", "LICENSE-APACHE", "LICENSE-MIT"];
    for file in files() {
        let mut parts = file.components();
        let first = parts.next().expect("a path has parts").as_os_str().to_string_lossy().into_owned();
        let known = match parts.next() {
            Some(_) => folders.contains(&first.as_str()),
            None => plain.contains(&first.as_str()),
        };
        assert!(known || first.starts_with('.'), "`{}` does not belong at the top level", file.display());
    }
}

#[test]
fn source_files_stay_small_and_lines_short() {
    for file in files().iter().filter(|file| file.extension().is_some_and(|ending| ending == "rs")) {
        let text = text(file).expect("source is UTF-8");
        assert!(text.starts_with("//!"), "`{}` does not say what it is", file.display());
        assert!(text.lines().count() <= 500, "`{}` has more than 500 lines", file.display());
        for (number, line) in text.lines().enumerate() {
            assert!(line.chars().count() <= 140, "`{}:{}` is too long", file.display(), number + 1);
        }
    }
}

#[test]
fn nothing_left_undone_lands() {
    // The words are put together here so that this file does not hold them.
    let banned = [
        ["to", "do!("].concat(),
        ["unimple", "mented!("].concat(),
        ["FIX", "ME"].concat(),
        ["XX", "X "].concat(),
    ];
    for file in files() {
        let Some(text) = text(&file) else { continue };
        for word in &banned {
            assert!(!text.contains(word.as_str()), "`{}` holds `{word}`", file.display());
        }
    }
}

#[test]
fn results_are_never_called_harmless() {
    // "Safe" may name the equipment's agreed state, but no card, finding or record may say it of a result.
    let word = ["sa", "fe"].concat();
    for file in files().iter().filter(|file| file.starts_with("out")) {
        let Some(text) = text(file) else { continue };
        let lower = text.to_lowercase();
        for found in lower.split(|letter: char| !letter.is_alphabetic()) {
            assert!(found != word && found != "lockout", "`{}` says `{found}`", file.display());
        }
    }
}
