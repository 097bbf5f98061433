//! Findings whose words are put together from the documents.

use super::sample::sample;
use crate::registry::explain;
use crate::{Budget, check};
use document::Diagnostic;

/// What an explanation is about, found in its bad sample.
fn bad(code: &str) -> Vec<Diagnostic> {
    let sample = sample(explain(code).expect("the code is explained"), "Bad");
    let budget = Budget { boxes: 1_000, go_on: &|| true };
    let report = check(document::read(&sample.files), &budget).expect("no fault of our own");
    report.findings().into_iter().filter(|finding| finding.code == code).collect()
}

#[test]
fn an_answer_that_is_missing_is_named() {
    let help = bad("P06")[0].help.clone().expect("there is help");
    assert!(help.contains("`shows` tank product,"), "{help}");
}

#[test]
fn a_rule_is_explained_in_its_authors_words() {
    for code in ["P02", "P03"] {
        let notes = &bad(code)[0].notes;
        assert!(notes.iter().any(|(_, remark)| remark == "Bare terminals are under the cover."), "{notes:?}");
    }
}

#[test]
fn a_variant_that_never_ends_is_named() {
    let message = &bad("G06")[0].message;
    assert!(message.starts_with("with hose 12 m, `strainer-clean` never comes to `done`"), "{message}");
}
