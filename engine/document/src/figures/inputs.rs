//! One input of an amount: a number, a figure, or a figure for each value of a variant.

use super::AmountFault;
use crate::codes::{A02, A04};
use crate::model::{Equipment, Input, Name};
use crate::places::pointer;
use crate::words::meant;
use calc::quantity::Quantity;
use indexmap::IndexMap;

/// An input that could be read.
pub(super) enum Given {
    /// The same for all.
    One(Quantity),
    /// One for each value of a variant.
    By(Name, Vec<(String, Quantity)>),
}

impl Given {
    /// The variant it depends on.
    pub(super) fn variant(&self) -> Option<&Name> {
        match self {
            Self::One(_) => None,
            Self::By(name, _) => Some(name),
        }
    }

    /// The quantity for a combination of variants.
    pub(super) fn of(&self, variants: &[(Name, String)]) -> Option<&Quantity> {
        match self {
            Self::One(quantity) => Some(quantity),
            Self::By(name, each) => {
                let (_, value) = variants.iter().find(|(variant, _)| variant == name)?;
                each.iter().find(|(one, _)| one == value).map(|(_, quantity)| quantity)
            }
        }
    }
}

/// Reads an input; faults are told at its pointer `at`.
pub(super) fn given(equipment: &Equipment, input: &Input, at: &str) -> Result<Given, Vec<AmountFault>> {
    match input {
        Input::Number(number) => match Quantity::number(&number.to_string()) {
            Ok(quantity) => Ok(Given::One(quantity)),
            Err(error) => Err(vec![AmountFault::new(A02, at, error.to_string())]),
        },
        Input::Figure(text) => match text.strip_prefix('$') {
            Some(variant) => by_own_values(equipment, variant, at),
            None => match Quantity::parse(text) {
                Ok(quantity) => Ok(Given::One(quantity)),
                Err(error) => Err(vec![AmountFault::new(A02, at, error.to_string())]),
            },
        },
        Input::ByVariant(map) => by_map(equipment, map, at),
    }
}

/// `$hose`: the variant's values are the figures.
fn by_own_values(equipment: &Equipment, variant: &str, at: &str) -> Result<Given, Vec<AmountFault>> {
    let Some((name, values)) = equipment.variants.get_key_value(variant) else {
        return Err(vec![unknown(equipment, variant, at)]);
    };
    let mut each = Vec::new();
    let mut faults = Vec::new();
    for value in values {
        match Quantity::parse(value) {
            Ok(quantity) => each.push((value.clone(), quantity)),
            Err(error) => faults.push(
                AmountFault::new(
                    A04,
                    at,
                    format!("the value `{value}` of the variant `{name}` is no figure: {error}"),
                )
                .help(format!("give a figure for each value: `{{ ${name}: {{ {value}: … }} }}`")),
            ),
        }
    }
    if faults.is_empty() { Ok(Given::By(name.clone(), each)) } else { Err(faults) }
}

/// `{ $tip: { fine: 0.30 L/min } }`: a figure for each value.
fn by_map(
    equipment: &Equipment,
    map: &IndexMap<String, IndexMap<String, String>>,
    at: &str,
) -> Result<Given, Vec<AmountFault>> {
    let (Some((key, figures)), 1) = (map.first(), map.len()) else {
        return Err(vec![
            AmountFault::new(
                A02,
                at,
                format!("an input depends on one variant; this one names {}", map.len()),
            )
            .help("write `{ $variant: { value: figure } }`"),
        ]);
    };
    let inside = pointer(at, key);
    let Some(variant) = key.strip_prefix('$') else {
        return Err(vec![
            AmountFault::new(A02, &inside, format!("`{key}` is not the name of a variant with its `$`"))
                .of_key()
                .help(format!("write `${key}`")),
        ]);
    };
    let Some((name, values)) = equipment.variants.get_key_value(variant) else {
        return Err(vec![unknown(equipment, variant, &inside).of_key()]);
    };
    let mut each = Vec::new();
    let mut faults = Vec::new();
    for (value, figure) in figures {
        let at = pointer(&inside, value);
        if !values.contains(value) {
            let fault =
                AmountFault::new(A04, &at, format!("the variant `{name}` has no value `{value}`")).of_key();
            faults.push(match meant(value, values.iter().map(String::as_str)) {
                Some(help) => fault.help(help),
                None => fault,
            });
        }
        match Quantity::parse(figure) {
            Ok(quantity) => each.push((value.clone(), quantity)),
            Err(error) => faults.push(AmountFault::new(A02, at, error.to_string())),
        }
    }
    for value in values.iter().filter(|value| !figures.contains_key(*value)) {
        faults.push(
            AmountFault::new(
                A04,
                &inside,
                format!("the value `{value}` of the variant `{name}` has no figure"),
            )
            .of_key()
            .help(format!("add `{value}:` with a figure")),
        );
    }
    if faults.is_empty() { Ok(Given::By(name.clone(), each)) } else { Err(faults) }
}

fn unknown(equipment: &Equipment, variant: &str, at: &str) -> AmountFault {
    let fault = AmountFault::new(A02, at, format!("the equipment has no variant `{variant}`"));
    match meant(variant, equipment.variants.keys().map(|name| &**name)) {
        Some(help) => fault.help(help),
        None => fault,
    }
}
