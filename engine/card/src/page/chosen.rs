//! A card for one machine: variants that are chosen beforehand.

use super::scope::Scope;
use super::step::{Detail, PASSED_OVER, StepBox};
use crate::clean::clean_line;
use crate::count::joined;
use crate::prose::Prose;
use document::Case;
use document::model::{Cube, Equipment, Name, Step};
use machine::step_number;
use std::collections::BTreeMap;
use std::fmt;

/// Variants chosen, each with its value. Variants that are left out stay open on the card.
pub type Chosen = BTreeMap<Name, String>;

/// Why a choice of variants fits no machine.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ChoiceError {
    /// The equipment has no such variant.
    NoVariant {
        /// What was chosen.
        name: Name,
        /// The variants that there are.
        known: Vec<Name>,
    },
    /// The variant has no such value.
    NoValue {
        /// The variant.
        name: Name,
        /// What was chosen.
        value: String,
        /// The values that there are.
        known: Vec<String>,
    },
}

impl fmt::Display for ChoiceError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoVariant { name, known } if known.is_empty() => {
                write!(f, "the equipment has no variant `{name}`, and no other: leave `--variant` out")
            }
            Self::NoVariant { name, known } => {
                let known: Vec<&str> = known.iter().map(|name| &**name).collect();
                write!(f, "the equipment has no variant `{name}`; it has `{}`", known.join("`, `"))
            }
            Self::NoValue { name, value, known } => {
                write!(f, "the variant `{name}` has no value `{value}`; it has `{}`", known.join("`, `"))
            }
        }
    }
}

/// Refuses a choice that fits no machine of this kind.
pub(super) fn fits(equipment: &Equipment, chosen: &Chosen) -> Result<(), ChoiceError> {
    for (name, value) in chosen {
        let Some(known) = equipment.variants.get(name) else {
            let known = equipment.variants.keys().cloned().collect();
            return Err(ChoiceError::NoVariant { name: name.clone(), known });
        };
        if !known.contains(value) {
            let (name, value, known) = (name.clone(), value.clone(), known.clone());
            return Err(ChoiceError::NoValue { name, value, known });
        }
    }
    Ok(())
}

/// The cases of a figure for the machines that the choice leaves, without the variants that it settles.
pub(super) fn narrowed(cases: Vec<Case>, chosen: &Chosen) -> Vec<Case> {
    let fits = |case: &Case| {
        case.variants.iter().all(|(name, value)| chosen.get(name).is_none_or(|wanted| wanted == value))
    };
    cases
        .into_iter()
        .filter(fits)
        .map(|mut case| {
            case.variants.retain(|(name, _)| !chosen.contains_key(name));
            case
        })
        .collect()
}

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
