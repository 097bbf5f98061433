//! Every obligation that is refuted is told by its rule.

use super::sample::sample;
use crate::registry::explanations;
use crate::{Budget, check};
use machine::{Machine, PromiseSource};
use proof::Obligation;
use std::collections::BTreeSet;

/// The rules of which one tells of an obligation: a new kind of obligation does not compile until it has one. That a stop has
/// no plan is told with the plan for the whole equipment where that is what is missing.
fn told_by(obligation: Obligation, machine: &Machine) -> &'static [&'static str] {
    match obligation {
        Obligation::Need { .. } => &["P01"],
        Obligation::Rule { by: Some(_), .. } => &["P02"],
        Obligation::Rule { by: None, .. } => &["P03"],
        Obligation::Promise(promise) => match machine.promises[promise].source {
            PromiseSource::Leaves => &["P04"],
            PromiseSource::Normal => &["P05"],
        },
        Obligation::Answered(_) => &["P06"],
        Obligation::Unmended(_) => &["P16"],
        Obligation::Unseen(_) => &["P15"],
        Obligation::Universal => &["P17"],
        Obligation::Stop(_) | Obligation::StopAfter(_) => &["P09", "P17"],
        Obligation::Resume { .. } => &["P10"],
    }
}

#[test]
fn a_refuted_obligation_is_told_by_its_rule() {
    let mut seen = BTreeSet::new();
    for explanation in explanations().iter().filter(|one| one.code.starts_with('P') && one.code != "P08") {
        let budget = Budget { boxes: 1_000, go_on: &|| true };
        let files = sample(explanation, "Bad").files;
        let report = check(document::read(&files), &budget).expect("no fault of our own");
        for checked in &report.procedures {
            let (Some(machine), Some(proof)) = (&checked.machine, &checked.proof) else { continue };
            for refuted in &proof.refuted {
                let codes = told_by(refuted.obligation, machine);
                let told = codes.iter().find(|&&code| checked.findings.iter().any(|one| one.code == code));
                seen.insert(*told.unwrap_or_else(|| panic!("{codes:?} is not told")));
            }
        }
    }
    assert_eq!(
        Vec::from_iter(seen),
        ["P01", "P02", "P03", "P04", "P05", "P06", "P09", "P10", "P15", "P16", "P17"]
    );
}
