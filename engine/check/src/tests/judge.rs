//! The order in which findings of one document are told.

use super::sample::sample;
use crate::registry::explain;
use crate::{Budget, check};

/// A text is looked at once by every rule, and its findings are told by rule all the same.
#[test]
fn findings_are_told_by_rule_and_then_in_written_order() {
    let mut files = sample(explain("W16").expect("explained"), "Bad").files;
    let procedure = files.last_mut().expect("there is a procedure");
    let text = String::from_utf8(procedure.bytes.clone()).expect("UTF-8");
    let head = text.split("steps:").next().expect("there is a head");
    let step = |id: &str| {
        format!(
            "  - id: {id}\n    do: Wipe the screen; the bowl shall be empty.\n    expect: No grit is visible.\n"
        )
    };
    procedure.bytes = format!("{head}steps:\n{}{}", step("first"), step("second")).into_bytes();
    let budget = Budget { boxes: 1_000, go_on: &|| true };
    let report = check(document::read(&files), &budget).expect("no fault of our own");
    let told = report.procedures[0].findings.iter();
    let told: Vec<(&str, Option<&str>)> =
        told.map(|finding| (finding.code, finding.message.split('`').nth(1))).collect();
    let [first, second] = [Some("first"), Some("second")];
    assert_eq!(told, [("W07", first), ("W07", second), ("W16", first), ("W16", second)]);
}
