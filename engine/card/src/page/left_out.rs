//! What a card for one machine leaves out: steps that this machine does without, and the variants that were chosen.

use super::scope::Scope;
use super::step::{Detail, PASSED_OVER, StepBox};
use crate::clean::clean_line;
use crate::count::joined;
use crate::prose::Prose;
use document::model::{Cube, Name, Step};
use machine::step_number;

impl Scope<'_> {
    /// "hose 4 m, tip fine"; none if nothing is chosen.
    pub(super) fn chosen_words(&self) -> Option<String> {
        let order = self.machine().variants.keys();
        let words: Vec<String> = order
            .filter_map(|name| Some(format!("{} {}", name.words(), clean_line(self.chosen.get(name)?))))
            .collect();
        (!words.is_empty()).then(|| words.join(", "))
    }

    /// Whether a step is passed over on the machine that was chosen.
    pub(super) fn is_passed_over(&self, step: &Step) -> bool {
        let excludes = |(name, values): (&Name, &document::model::Values)| {
            self.chosen.get(name).is_some_and(|value| !values.0.contains(value))
        };
        step.common.only.iter().any(excludes)
    }

    /// The part of `only` that the choice leaves open.
    pub(super) fn open_only(&self, only: &Cube) -> Cube {
        let open = only.iter().filter(|(name, _)| !self.chosen.contains_key(*name));
        open.map(|(name, values)| (name.clone(), values.clone())).collect()
    }
}

/// The place of a step that this machine does not need: the numbers of the others stay what they are everywhere.
pub(super) fn passed_over(at: &str, step: &Step) -> StepBox {
    let machines: Vec<String> = step
        .common
        .only
        .iter()
        .map(|(name, values)| {
            let values: Vec<String> = values.0.iter().map(|value| clean_line(value)).collect();
            format!("{} {}", name.words(), joined(&values, "or"))
        })
        .collect();
    StepBox {
        number: step_number(at),
        id: step.common.id.to_string(),
        kind: Some(PASSED_OVER),
        only: None,
        warnings: Vec::new(),
        note: None,
        needs: Vec::new(),
        work: None,
        wear: Vec::new(),
        takes: Vec::new(),
        by: None,
        text: Prose::plain(format!("Pass over this step: it is for {}.", machines.join(", and "))),
        detail: Detail::Act,
        leaves: Vec::new(),
        expect: None,
        verified_by: None,
        routes: Vec::new(),
        rounds: 1,
        inner: Vec::new(),
    }
}
