//! Every bad sample is found where it is marked, and nothing else in it; nothing is found in a good one.

use super::sample::{EQUIPMENT, Found, Sample, sample};
use crate::registry::explanations;
use crate::{Budget, check};
use document::{Diagnostic, InputFile, Library, Severity};

/// More than any sample needs.
const BOXES: usize = 100_000;

/// Families whose samples are as short as their fault lets them be: what a complete procedure says besides is
/// advice, and is not counted in them.
const SHORT: [char; 5] = ['A', 'G', 'N', 'P', 'R'];

/// What is found in the documents, as sorted places, and again in words for a person who mends a sample.
fn found(files: &[InputFile], boxes: usize, least: Severity) -> (Vec<Found>, String) {
    let report =
        check(document::read(files), &Budget { boxes, go_on: &|| true }).expect("no fault of our own");
    let mut findings = report.findings();
    findings.retain(|finding| finding.severity >= least);
    let mut places: Vec<Found> = findings.iter().map(|finding| place(&report.library, finding)).collect();
    places.sort();
    places.dedup();
    let words: Vec<String> = findings
        .iter()
        .map(|finding| {
            let (code, file, line) = place(&report.library, finding);
            format!("{code} {file}:{line} {}", finding.message)
        })
        .collect();
    (places, words.join("\n"))
}

fn place(library: &Library, finding: &Diagnostic) -> Found {
    let source = &library.sources[finding.place.source.0 as usize];
    let line = source.position(finding.place.span.start).line;
    (finding.code.to_owned(), source.name.clone(), line)
}

/// What is wrong with a sample, if anything is.
fn wrong(code: &str, sample: &Sample, boxes: usize) -> Option<String> {
    let least = if code.starts_with(SHORT) { Severity::Warning } else { Severity::Advice };
    let (places, words) = found(&sample.files, boxes, least);
    let expected = &sample.expected;
    (places != *expected).then(|| format!("{code}: expected {expected:?}, found:\n{words}"))
}

/// The budget that a bad sample is checked with: the explanation of P07 is about its end.
fn budget(code: &str) -> usize {
    if code == "P07" { 2 } else { BOXES }
}

#[test]
fn bad_samples_are_found_where_they_are_marked() {
    let mut faults = Vec::new();
    for explanation in explanations() {
        let bad = sample(explanation, "Bad");
        let own = bad.expected.iter().any(|(code, ..)| code == explanation.code);
        assert!(own, "{} is not marked in its own sample", explanation.code);
        faults.extend(wrong(explanation.code, &bad, budget(explanation.code)));
    }
    assert!(faults.is_empty(), "{}", faults.join("\n\n"));
}

#[test]
fn nothing_is_found_in_good_samples() {
    let mut faults = Vec::new();
    for explanation in explanations() {
        let good = sample(explanation, "Good");
        assert_eq!(good.expected, Vec::new(), "{}: a good sample has no marks", explanation.code);
        faults.extend(wrong(explanation.code, &good, BOXES));
    }
    assert!(faults.is_empty(), "{}", faults.join("\n\n"));
}

/// A sample is about one fault: only what cannot come alone is marked beside it.
#[test]
fn bad_samples_show_one_fault() {
    for explanation in explanations() {
        for (code, ..) in sample(explanation, "Bad").expected {
            let beside = (explanation.code, code.as_str()) == ("G03", "G04");
            assert!(code == explanation.code || beside, "{} shows {code} too", explanation.code);
        }
    }
}

#[test]
fn nothing_is_found_in_the_shared_equipment() {
    let file =
        |(name, text): (&str, &str)| InputFile { name: name.to_owned(), bytes: text.as_bytes().to_vec() };
    let files = EQUIPMENT.map(file);
    assert_eq!(found(&files, BOXES, Severity::Advice), (Vec::new(), String::new()));
}

/// The table of odd inputs holds nothing that no explanation describes.
#[test]
fn an_odd_input_belongs_to_an_explanation_in_words() {
    for explanation in explanations() {
        let described = explanation.body.contains("```bytes\n");
        assert_eq!(
            described,
            super::odd_inputs::odd_input(explanation.code).is_some(),
            "{}",
            explanation.code
        );
    }
}

/// Whatever rule says nothing any more, its own bad sample misses it: each is taken out once.
#[test]
fn a_rule_that_falls_silent_is_missed_by_its_sample() {
    for explanation in explanations() {
        let code = explanation.code;
        let bad = sample(explanation, "Bad");
        let least = if code.starts_with(SHORT) { Severity::Warning } else { Severity::Advice };
        let (mut places, _) = found(&bad.files, budget(code), least);
        let before = places.len();
        places.retain(|(found, ..)| found != code);
        assert!(places.len() < before, "{code} is not found in its own sample");
        assert_ne!(places, bad.expected, "{code}: its sample does not need it");
    }
}
