//! What no machine ever does.

use super::sample::{EQUIPMENT, whole};
use crate::{Budget, check};
use document::InputFile;

const SHARED: &str = include_str!("../../explained/shared/procedure.yaml");

/// The messages of a rule in a procedure of these steps.
fn told(code: &str, steps: &str) -> Vec<String> {
    let file = |(name, text): (&str, &str)| InputFile { name: name.to_owned(), bytes: text.into() };
    let mut files = EQUIPMENT.map(file).to_vec();
    files.push(InputFile { name: "procedure".to_owned(), bytes: whole(SHARED, steps).into_bytes() });
    let report = check(document::read(&files), &Budget { boxes: 10_000, go_on: &|| true })
        .expect("no fault of our own");
    assert!(report.reading.is_empty(), "{:?}", report.reading);
    let found = report.findings().into_iter().filter(|finding| finding.code == code);
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
    assert_eq!(told("G02", &steps("12 m")), Vec::<String>::new());
    let told = told("G02", &steps("4 m"));
    assert!(matches!(&told[..], [one] if one.starts_with("step `rim` is never done")), "{told:?}");
}

/// Of one hose nobody drains the tank before it is looked at; of none the look before is to blame.
#[test]
fn a_look_that_only_a_surprise_leads_on_from_is_told_with_its_variant() {
    let steps = |drained: &str| {
        format!(
            "requires: {{ tank: empty }}\nsteps:\n  - id: first\n    confirm: {{ tank: empty }}\n    otherwise: stop\n  \
             - id: rinse\n    do: Rinse the tank.\n    leaves: {{ tank: rinse }}\n  \
             - id: drain\n    only: {{ hose: {drained} }}\n    do: Drain the tank.\n    leaves: {{ tank: empty }}\n  \
             - id: check\n    confirm: {{ tank: empty }}\n    otherwise: call\n    then: done\n  \
             - id: call\n    do: Call the supervisor.\n    then: stop\n"
        )
    };
    assert_eq!(told("G08", &steps("[4 m, 12 m]")), Vec::<String>::new());
    let found = told("G08", &steps("4 m"));
    let message = "with hose 12 m, `strainer-clean` comes to `done` only where step `check` finds otherwise than is on record";
    assert_eq!(found, [message]);
}
