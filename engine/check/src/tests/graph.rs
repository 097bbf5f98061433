//! What no machine ever does.

use super::sample::{EQUIPMENT, whole};
use crate::{Budget, check};
use document::InputFile;

const SHARED: &str = include_str!("../../explained/shared/procedure.yaml");

/// The messages of G02 in a procedure of these steps.
fn never_done(steps: &str) -> Vec<String> {
    let file = |(name, text): (&str, &str)| InputFile { name: name.to_owned(), bytes: text.into() };
    let mut files = EQUIPMENT.map(file).to_vec();
    files.push(InputFile { name: "procedure".to_owned(), bytes: whole(SHARED, steps).into_bytes() });
    let report = check(document::read(&files), &Budget { boxes: 10_000, go_on: &|| true })
        .expect("no fault of our own");
    assert!(report.reading.is_empty(), "{:?}", report.reading);
    let found = report.findings().into_iter().filter(|finding| finding.code == "G02");
    found.map(|finding| finding.message).collect()
}

/// A way leads to the step, but never with the variant that it is for.
#[test]
fn a_step_that_its_own_variant_goes_past_is_never_done() {
    let steps = |of_second: &str| {
        format!(
            "steps:\n  - id: bowl\n    only: {{ hose: 4 m }}\n    do: Wipe the bowl.\n    then: screen\n  \
             - id: rim\n    only: {{ hose: {of_second} }}\n    do: Wipe the rim.\n  \
             - id: screen\n    do: Wipe the screen.\n"
        )
    };
    assert_eq!(never_done(&steps("12 m")), Vec::<String>::new());
    let told = never_done(&steps("4 m"));
    assert!(matches!(&told[..], [one] if one.starts_with("step `rim` is never done")), "{told:?}");
}
