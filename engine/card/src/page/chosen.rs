//! A card for one machine: variants that are chosen beforehand.

use document::Case;
use document::model::{Equipment, Name};
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
