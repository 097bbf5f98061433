//! What officers print: the review, what changed, the list, and the matrix of all. The same structure is asked of them
//! as of cards.

use super::{outside, pages, root};
use crate::support::demo;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// The day on which all of it is printed.
const ON: &str = "2026-11-20";

/// What the program prints as PDF.
fn printed(folder: &Path, name: &str, arguments: &[&str]) -> PathBuf {
    let output = Command::new(env!("CARGO_BIN_EXE_gatewright"))
        .current_dir(root())
        .args(arguments)
        .args(["--form", "pdf"])
        .output()
        .expect("the program starts");
    assert!(output.stdout.starts_with(b"%PDF"), "{}", String::from_utf8_lossy(&output.stderr));
    let path = folder.join(name);
    std::fs::write(&path, output.stdout).expect("written");
    path
}

/// What `structure.py` says of a file.
fn judged(path: &Path, title: &str, date: &str) -> Output {
    Command::new(root().join("target/outside/python/bin/python"))
        .arg(root().join("tests/scenarios/paper/structure.py"))
        .args([path, Path::new(title), Path::new(date)])
        .output()
        .unwrap_or_else(|error| panic!("python cannot be started ({error}): run tests/run once"))
}

fn nothing_is_wrong(path: &Path, title: &str, date: &str) {
    let output = judged(path, title, date);
    let said = String::from_utf8_lossy(&output.stdout);
    assert!(output.status.success() && said.is_empty(), "{said}{}", String::from_utf8_lossy(&output.stderr));
}

fn text(path: &Path) -> String {
    outside(Path::new("pdftotext"), &["-layout", path.to_str().expect("UTF-8"), "-"])
}

#[test]
fn reviews_and_lists_have_the_structure_and_the_day_by_which_they_were_judged() {
    let folder = tempfile::tempdir().expect("a folder");
    for page in pages() {
        let identity = &page.identity;
        let path = printed(folder.path(), "review.pdf", &["review", &identity.id, "--on", ON]);
        let title = format!("Review: {} ({}, revision {})", identity.title, identity.id, identity.revision);
        nothing_is_wrong(&path, &title, ON);
        assert!(text(&path).contains(&format!("As of {ON}")), "{title}");
    }
    let path = printed(folder.path(), "list.pdf", &["list", "--on", ON]);
    nothing_is_wrong(&path, "Procedures (Procedures)", ON);
}

#[test]
fn what_changed_is_dated_by_the_later_of_the_two_revisions() {
    let folder = tempfile::tempdir().expect("a folder");
    let own = demo::text("tip-swap");
    let at = |name: &str, procedure: &str| {
        let folder = folder.path().join(name);
        std::fs::create_dir(&folder).expect("a folder");
        std::fs::write(folder.join("equipment.yaml"), demo::text("equipment")).expect("written");
        let path = folder.join("tip-swap.yaml");
        std::fs::write(&path, procedure).expect("written");
        path.to_str().expect("UTF-8").to_owned()
    };
    let later = own
        .replace("revision: 1\n", "revision: 2\n")
        .replace("effective: 2026-11-02", "effective: 2027-01-04")
        .replace("title: Change the spray tip", "title: Change the tip");
    assert_ne!(later, own);
    let (old, new) = (at("old", &own), at("new", &later));
    let path = printed(folder.path(), "compare.pdf", &["compare", &old, &new]);
    nothing_is_wrong(&path, "What changed: Change the tip (tip-swap, revision 2)", "2027-01-04");
    assert!(text(&path).contains("Effective 2027-01-04 at the latest"));
    // A revision taken back is dated by what it replaces.
    let path = printed(folder.path(), "back.pdf", &["compare", &new, &old]);
    nothing_is_wrong(&path, "What changed: Change the spray tip (tip-swap, revision 1)", "2027-01-04");
}

#[test]
fn the_matrix_of_all_is_dated_by_the_latest_effective_date_and_says_what_goes_on() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = printed(folder.path(), "matrix.pdf", &["matrix", "--all"]);
    let pages = pages();
    let latest = pages.iter().filter_map(|page| page.identity.effective.as_deref()).max().expect("a date");
    let named =
        |page: &card::page::Page| format!("{}, revision {}", page.identity.id, page.identity.revision);
    let names: Vec<String> = pages.iter().map(named).collect();
    let titles: Vec<&str> = pages.iter().map(|page| page.identity.title.as_str()).collect();
    let title = format!("Hazards and controls: {} ({})", titles.join(", "), names.join("; "));
    nothing_is_wrong(&path, &title, latest);
    let text = text(&path);
    assert!(text.contains(&format!("Effective {latest} at the latest")));
    for page in &pages {
        assert!(
            text.contains(&format!("effective {},", page.identity.effective.as_deref().expect("a date")))
        );
    }
    // No page begins with the headers of a table that nobody can name.
    let mut tables = 0;
    for page in text.split('\u{c}') {
        let lines: Vec<&str> = page.lines().map(str::trim_start).filter(|line| !line.is_empty()).collect();
        for (at, _) in lines.iter().enumerate().filter(|(_, line)| line.starts_with("Step  ")) {
            tables += 1;
            let above = lines[..at].last().expect("something above");
            assert!(above.ends_with(", continued") || above.ends_with('.'), "{above}");
        }
    }
    assert!(tables > 60, "only {tables} tables");
    assert!(text.contains(", continued\n"));
}

#[test]
fn a_sheet_without_its_title_or_with_another_day_is_told() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = printed(folder.path(), "list.pdf", &["list", "--on", ON]);
    let bare = folder.path().join("bare.pdf");
    // What the structure asks for is taken out by the library that looks for it.
    let script = "import sys, pikepdf\n\
        with pikepdf.open(sys.argv[1]) as pdf:\n    \
        with pdf.open_metadata(set_pikepdf_as_editor=False) as meta: del meta['dc:title']\n    \
        del pdf.Root['/Lang']\n    pdf.save(sys.argv[2])\n";
    let made = Command::new(root().join("target/outside/python/bin/python"))
        .args(["-c", script])
        .args([&path, &bare])
        .output()
        .expect("python starts");
    assert!(made.status.success(), "{}", String::from_utf8_lossy(&made.stderr));
    let said = judged(&bare, "Procedures (Procedures)", "2026-11-21");
    assert!(!said.status.success());
    let said = String::from_utf8_lossy(&said.stdout);
    for fault in ["metadata: title is None", "metadata: date 2026-11-20", "no language"] {
        assert!(said.contains(fault), "{fault}: {said}");
    }
}
