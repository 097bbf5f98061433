//! No file of a member uses another that uses it in turn, whichever way round.

mod modules;

use super::{metadata, root};
use modules::{Modules, Uses};
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

/// Files that use each other, as `a.rs uses b.rs (what)`, one line for each use among them.
struct Circle {
    files: BTreeSet<PathBuf>,
    lines: Vec<String>,
}

/// The largest groups of files of which each can be reached from each.
fn circles(folder: &Path) -> Vec<Circle> {
    let uses = Modules::read(folder).uses();
    let reach: BTreeMap<&PathBuf, BTreeSet<&PathBuf>> =
        uses.keys().map(|file| (file, reached(&uses, file))).collect();
    let mut told = BTreeSet::new();
    let mut found = Vec::new();
    for (file, reached) in &reach {
        let both = reached.iter().filter(|other| reach[**other].contains(file));
        let files: BTreeSet<PathBuf> = both.map(|&other| other.clone()).collect();
        if !files.is_empty() && told.insert(files.clone()) {
            let lines = lines(&uses, &files);
            found.push(Circle { files, lines });
        }
    }
    found
}

/// Everything that a file uses, directly or not.
fn reached<'a>(uses: &'a BTreeMap<PathBuf, Uses>, from: &'a PathBuf) -> BTreeSet<&'a PathBuf> {
    let mut found = BTreeSet::new();
    let mut open = vec![from];
    while let Some(file) = open.pop() {
        open.extend(uses[file].keys().filter(|used| found.insert(*used)));
    }
    found
}

fn lines(uses: &BTreeMap<PathBuf, Uses>, files: &BTreeSet<PathBuf>) -> Vec<String> {
    let mut lines = Vec::new();
    for file in files {
        for (used, what) in uses[file].iter().filter(|(used, _)| files.contains(*used)) {
            let what: Vec<&str> = what.iter().map(String::as_str).collect();
            lines.push(format!("{} uses {} ({})", file.display(), used.display(), what.join(", ")));
        }
    }
    lines
}

#[test]
fn no_file_uses_one_that_uses_it() {
    let mut told = Vec::new();
    for package in metadata() {
        let member = package["name"].as_str().expect("a name");
        for target in package["targets"].as_array().expect("targets") {
            let is_test = target["kind"]
                .as_array()
                .expect("kinds")
                .iter()
                .any(|kind| kind == "test" || kind == "bench");
            if !is_test {
                let main = Path::new(target["src_path"].as_str().expect("a path of UTF-8"));
                let folder = main.parent().expect("a folder");
                assert!(folder.starts_with(root()), "`{}` is elsewhere", folder.display());
                told.extend(circles(folder).iter().map(|circle| {
                    format!("{member}: {} files\n  {}", circle.files.len(), circle.lines.join("\n  "))
                }));
            }
        }
    }
    assert!(told.is_empty(), "files that use each other:\n{}", told.join("\n"));
}

/// Circles of a member made of these files, as the names of their files.
fn circles_of(files: &[(&str, &str)]) -> Vec<String> {
    let folder = tempfile::tempdir().expect("a folder");
    for (name, text) in files {
        let file = folder.path().join(name);
        std::fs::create_dir_all(file.parent().expect("a folder")).expect("made");
        std::fs::write(file, text).expect("written");
    }
    let names = |circle: Circle| {
        let names: Vec<String> = circle.files.iter().map(|file| file.display().to_string()).collect();
        names.join(" ")
    };
    circles(folder.path()).into_iter().map(names).collect()
}

#[test]
fn circles_are_found_whichever_way_they_are_written() {
    let none: [String; 0] = [];
    // A re-export, a test, a comment and a text use nothing; what comes through a re-export comes from where it is defined.
    let plain = [
        ("lib.rs", "mod a;\nmod b;\npub use a::A;\npub use b::B;"),
        ("a.rs", "use crate::B;\npub struct A(B); // crate::b::B"),
        (
            "b.rs",
            "pub struct B;\n#[cfg(test)]\nmod tests {\n use crate::A;\n}\nconst X: &str = \"crate::a::A\";",
        ),
    ];
    assert_eq!(circles_of(&plain), none);
    let through = ("b.rs", "pub struct B;\nfn b() { let _ = crate::A(B); }");
    assert_eq!(circles_of(&[plain[0], plain[1], through]), ["a.rs b.rs"]);
    // What a module calls of the files below it, and what they take from above.
    let above = ("a/mod.rs", "mod c;\npub struct A;\npub fn a() { c::c() }");
    let below = ("a/c.rs", "use super::A as Above;\npub fn c() { let _ = Above; }");
    assert_eq!(circles_of(&[("lib.rs", "mod a;"), above, below]), ["a/c.rs a/mod.rs"]);
    assert_eq!(circles_of(&[("lib.rs", "mod a;"), above, ("a/c.rs", "pub fn c() {}")]), none);
    // Longer ones, in trees of imports, with names for whole modules.
    let long = [
        ("lib.rs", "mod a; mod b; mod c;"),
        ("a.rs", "use crate::{b, c::{self as third, C}};\npub fn a() { b::b() }"),
        ("b.rs", "use super::c;\npub fn b() { c::c() }"),
        ("c.rs", "pub struct C;\npub fn c() { crate::a::a() }"),
    ];
    assert_eq!(circles_of(&long), ["a.rs b.rs c.rs"]);
}
