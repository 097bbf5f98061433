//! The table of explanations against the codes that there are and the files that there are.

use crate::registry::{FAMILIES, explain, explanations};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

fn registered() -> BTreeSet<String> {
    explanations().iter().map(|explanation| explanation.code.to_owned()).collect()
}

/// The files of a folder below `src`, by name, with their texts.
#[expect(clippy::disallowed_methods, reason = "the test compares the table with the files beside it")]
fn files(folder: &str, ending: &str) -> BTreeMap<String, String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src").join(folder);
    let entries = std::fs::read_dir(&folder).expect("the folder is there");
    let mut files = BTreeMap::new();
    for entry in entries {
        let path = entry.expect("the entry is readable").path();
        let name = path.file_name().and_then(|name| name.to_str()).expect("the name is UTF-8").to_owned();
        if let Some(stem) = name.strip_suffix(ending) {
            files.insert(stem.to_owned(), std::fs::read_to_string(&path).expect("the file is readable"));
        }
    }
    files
}

/// Every folder of rules but that of reading, whose explanations have no rule beside them.
const FOLDERS: [&str; 7] = [
    "rules",
    "rules/completeness",
    "rules/energy",
    "rules/hazards",
    "rules/people",
    "rules/tools",
    "rules/writing",
];

/// The rules by the stems of their files, with their codes.
fn rules() -> BTreeMap<String, String> {
    let code = |text: &str| {
        let (_, rest) = text.split_once("const CODE: &str = \"")?;
        rest.split_once('"').map(|(code, _)| code.to_owned())
    };
    let all = FOLDERS.into_iter().flat_map(|folder| files(folder, ".rs"));
    all.filter_map(|(stem, text)| Some((stem, code(&text)?))).collect()
}

#[test]
fn codes_rise_and_are_well_formed() {
    for pair in explanations().windows(2) {
        assert!(pair[0].code < pair[1].code, "{} and {}", pair[0].code, pair[1].code);
    }
    for explanation in explanations() {
        let [letter, tens, ones] = explanation.code.as_bytes() else { panic!("{}", explanation.code) };
        let well_formed = letter.is_ascii_uppercase() && tens.is_ascii_digit() && ones.is_ascii_digit();
        assert!(well_formed, "{}", explanation.code);
        assert!(!explanation.title.is_empty() && !explanation.title.ends_with('.'), "{}", explanation.code);
    }
}

#[test]
fn every_code_is_explained_and_every_explanation_has_a_code() {
    let read = document::CODES.iter().map(|&(code, _)| code.to_owned());
    let codes: BTreeSet<String> = rules().into_values().chain(read).collect();
    assert_eq!(registered(), codes);
}

#[test]
fn every_rule_has_its_explanation_beside_it() {
    let beside: BTreeMap<String, String> = FOLDERS
        .into_iter()
        .flat_map(|folder| files(folder, ".md"))
        .map(|(stem, text)| (stem, text.get(2..5).unwrap_or_default().to_owned()))
        .collect();
    assert_eq!(beside, rules());
}

#[test]
fn every_file_is_registered() {
    let texts: BTreeSet<&str> = explanations().iter().map(|explanation| explanation.text).collect();
    for (name, text) in FOLDERS.into_iter().chain(["rules/reading"]).flat_map(|folder| files(folder, ".md")) {
        assert!(texts.contains(text.as_str()), "`{name}.md` is not in the table");
    }
    for (stem, text) in files("rules/reading", ".md") {
        let code = text.get(2..5).unwrap_or_default();
        assert!(stem.starts_with(&format!("{code}-")), "`{stem}.md` explains {code}");
    }
}

/// What reading finds has one summary, whoever tells it.
#[test]
fn titles_of_reading_are_its_summaries() {
    for (code, summary) in document::CODES {
        let title = explain(code).map(|explanation| format!("{}.", explanation.title));
        assert_eq!(title.as_deref(), Some(*summary), "{code}");
    }
}

#[test]
fn every_part_is_there_and_in_order() {
    for explanation in explanations() {
        let mut rest = explanation.text;
        for part in ["\nWhat: ", "\nWhy: ", "\n## Bad\n", "\n## Good\n", "\n## Source\n"] {
            let (before, after) = rest
                .split_once(part)
                .unwrap_or_else(|| panic!("{} has no `{}` in its place", explanation.code, part.trim()));
            assert!(
                !before.trim().is_empty(),
                "{}: nothing stands before `{}`",
                explanation.code,
                part.trim()
            );
            rest = after;
        }
        assert!(!rest.trim().is_empty(), "{} names no source", explanation.code);
    }
}

#[test]
fn a_code_is_found_in_capitals_or_not() {
    assert_eq!(explain("p01").map(|explanation| explanation.code), Some("P01"));
    assert_eq!(explain("P01"), explain("p01"));
    for unknown in ["P99", "", "P0", "P011"] {
        assert_eq!(explain(unknown), None, "{unknown}");
    }
}

#[test]
fn every_code_is_of_a_family_and_every_family_has_codes() {
    let letters: BTreeSet<char> = explanations().iter().filter_map(|one| one.code.chars().next()).collect();
    assert_eq!(letters, FAMILIES.iter().map(|&(letter, _)| letter).collect());
}
