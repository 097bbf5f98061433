//! What changed between two revisions of a procedure, for safety first.
//!
//! Steps are matched by content, name and place, so that a renamed or reformatted step is no change. Then everything a
//! person is asked, told or held back by is compared: above the steps, step by step, which gates stand before which
//! steps, the equipment's rules, and the states that runs can come to.

mod change;
mod conditions;
mod cubes;
mod equipment;
mod figures;
mod guards;
mod head;
mod matching;
mod pair;
mod plain;
mod sets;
mod side;
mod states;
mod steps;
mod text;
mod what;

pub use change::{Change, Class, Group};
pub use side::Side;
pub(crate) use text::{NOT_COMPARED, shown};
pub use what::What;

use document::{Diagnostic, Severity};
use matching::{Matching, Steps};
use pair::Pair;
use std::collections::BTreeSet;

/// Everything that differs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Comparison {
    /// The differences: safety before figures before wording, weakened before strengthened before neutral.
    pub changes: Vec<Change>,
    /// Whether the states that runs can come to were compared; not if a revision has errors or the budget ended.
    pub states_compared: bool,
}

impl Comparison {
    /// What the differences come to: weakened if anything is, else strengthened if anything is.
    #[must_use]
    pub fn class(&self) -> Class {
        let safety = self.changes.iter().filter(|change| change.group == Group::Safety);
        safety.map(|change| change.class).min().unwrap_or(Class::Neutral)
    }

    /// Whether any difference is about safety.
    fn touches_safety(&self) -> bool {
        self.changes.iter().any(|change| change.group == Group::Safety)
    }
}

/// Compares two revisions. The budget is for each exploration of states.
#[must_use]
pub fn compare(old: &Side<'_>, new: &Side<'_>, budget: &proof::Budget<'_>) -> Comparison {
    let pair = Pair { old, new };
    let (old_steps, new_steps) = (Steps::collect(&old.procedure.model), Steps::collect(&new.procedure.model));
    let matching = Matching::between(&old_steps, &new_steps);
    let mut changes = proved(&pair);
    changes.extend(head::compare(&pair));
    changes.extend(steps::compare(&pair, &old_steps, &new_steps, &matching));
    changes.extend(guards::compare(&pair, &old_steps, &new_steps, &matching));
    changes.extend(equipment::compare(&pair));
    let states = states::compare(&pair, budget);
    let states_compared = states.is_some();
    changes.extend(states.into_iter().flatten());
    changes.sort_by_key(|change| (change.group, change.class));
    Comparison { changes, states_compared }
}

/// Errors of the new revision that the old one did not have, and the other way round.
fn proved(pair: &Pair<'_>) -> Vec<Change> {
    fn errors<'a>(side: &Side<'a>) -> Vec<&'a Diagnostic> {
        let findings = side.checked.map(|checked| checked.findings.as_slice()).unwrap_or_default();
        findings.iter().filter(|finding| finding.severity == Severity::Error).collect()
    }
    fn said(one: &Diagnostic) -> (&str, &str) {
        (one.code, &one.message)
    }
    let (old, new) = (errors(pair.old), errors(pair.new));
    let before: BTreeSet<(&str, &str)> = old.iter().copied().map(said).collect();
    let after: BTreeSet<(&str, &str)> = new.iter().copied().map(said).collect();
    let mut changes = Vec::new();
    for one in new.iter().filter(|one| !before.contains(&said(one))) {
        let message = format!("{}: {}", one.code, one.message);
        let mut change = Change::safety(Class::Weakened, What::NoLongerProved, message);
        change.trace = one.trace.clone();
        changes.push(change.at(None, Some(one.place)));
    }
    for one in old.iter().filter(|one| !after.contains(&said(one))) {
        let message = format!("{}: {}", one.code, one.message);
        changes.push(Change::safety(Class::Strengthened, What::NowProved, message).at(Some(one.place), None));
    }
    changes
}
