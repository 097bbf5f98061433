//! The codes and their explanations: each has the other, and every explanation has its parts.

use crate::registry::{explain, explanations, families};
use crate::rules;
use document::Severity;
use std::collections::BTreeSet;
use std::path::Path;

#[test]
fn codes_are_well_formed_and_none_is_used_twice() {
    for pair in explanations().windows(2) {
        assert!(pair[0].code < pair[1].code, "{} and {}", pair[0].code, pair[1].code);
    }
    for explanation in explanations() {
        let [letter, tens, ones] = explanation.code.as_bytes() else { panic!("{}", explanation.code) };
        let well_formed = letter.is_ascii_uppercase() && tens.is_ascii_digit() && ones.is_ascii_digit();
        assert!(well_formed, "{}", explanation.code);
        assert!(!explanation.title.is_empty() && !explanation.title.ends_with('.'), "{}", explanation.code);
    }
    let titles: BTreeSet<&str> = explanations().iter().map(|one| one.title).collect();
    assert_eq!(titles.len(), explanations().len(), "two codes have one title");
}

/// A code without its file does not compile; a file without its code is found here.
#[test]
#[expect(clippy::disallowed_methods, reason = "the test compares the codes with the files that explain them")]
fn every_file_explains_a_code() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("explained");
    for entry in std::fs::read_dir(&folder).expect("the folder is there") {
        let name = entry.expect("the entry is readable").file_name();
        let name = name.to_str().expect("the name is UTF-8");
        if let Some(code) = name.strip_suffix(".md") {
            assert_eq!(explain(code).map(|one| one.code), Some(code), "{name}");
        }
    }
}

#[test]
fn every_rule_stands_in_the_family_of_its_letter() {
    for family in &rules::FAMILIES {
        let codes: Vec<&str> = family.rules().map(|rule| rule.code).collect();
        assert!(!codes.is_empty(), "{} has no rules", family.about);
        assert!(codes.iter().all(|code| code.starts_with(family.letter)), "{}: {codes:?}", family.about);
    }
}

/// What is judged stops no card; what is proved or seen in the graph does, but for a step that changes nothing or is never
/// come to: the procedure is right without it.
#[test]
fn only_what_is_proved_is_an_error() {
    for family in &rules::FAMILIES {
        for rule in family.rules() {
            let proves = matches!(family.letter, 'G' | 'P') && !matches!(rule.code, "G02" | "G08" | "P11");
            assert_eq!(rule.severity == Severity::Error, proves, "{}", rule.code);
            assert!(!(family.acceptable && rule.severity == Severity::Error), "{}", rule.code);
        }
    }
}

#[test]
fn every_part_is_there_and_in_order() {
    for explanation in explanations() {
        let text = explanation.text();
        let mut rest = text.as_str();
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
    let families = families();
    assert_eq!(letters, families.iter().map(|&(letter, _)| letter).collect());
    assert_eq!(letters.len(), families.len(), "a letter stands for two families");
}
