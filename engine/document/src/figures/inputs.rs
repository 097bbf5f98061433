//! One input of an amount: a number, a figure, or a figure for each value of a variant.

use super::fault::AmountFault;
use crate::codes::{A02, A04};
use crate::model::{Equipment, Input, Name, StatedInput};
use crate::places::pointer;
use crate::words::meant;
use calc::methods::{Method, Value};
use indexmap::IndexMap;

/// An input that could be read.
pub(super) enum Given {
    /// The same for all.
    One(Value),
    /// One for each value of a variant.
    By(Name, Vec<(String, Value)>),
}

impl Given {
    /// The variant it depends on.
    pub(super) fn variant(&self) -> Option<&Name> {
        match self {
            Self::One(_) => None,
            Self::By(name, _) => Some(name),
        }
    }

    /// What it is for a combination of variants.
    pub(super) fn for_variants(&self, variants: &[(Name, String)]) -> Option<&Value> {
        match self {
            Self::One(value) => Some(value),
            Self::By(name, each) => {
                let (_, value) = variants.iter().find(|(variant, _)| variant == name)?;
                each.iter().find(|(one, _)| one == value).map(|(_, given)| given)
            }
        }
    }
}

/// Reads an input; faults are told at its pointer `at`.
pub(super) fn given(
    equipment: &Equipment,
    method: &'static Method,
    name: &str,
    input: &Input,
    at: &str,
) -> Result<Given, Vec<AmountFault>> {
    let reader = Reader { equipment, method, name };
    match input {
        Input::Number(stated) | Input::Figure(stated) => match stated.read() {
            Ok(value) => Ok(Given::One(value.clone())),
            Err(error) => Err(vec![AmountFault::new(A02, at, error.to_string())]),
        },
        Input::Label => reader.by_example(at),
        Input::Variant(variant) => reader.by_own_values(variant, at),
        Input::ByVariant(map) => reader.by_map(map, at),
    }
}

/// What it takes to read one input of one method.
struct Reader<'a> {
    equipment: &'a Equipment,
    method: &'static Method,
    name: &'a str,
}

impl Reader<'_> {
    /// `label`: in its place stands the figure of the method's example.
    fn by_example(&self, at: &str) -> Result<Given, Vec<AmountFault>> {
        let Some((_, text)) = self.method.example.iter().find(|(known, _)| *known == self.name) else {
            return Err(vec![
                AmountFault::new(A02, at, format!("`{}` is no figure that a label gives", self.name))
                    .help("write the figure itself, or leave the input out"),
            ]);
        };
        let read = self.method.read(self.name, text);
        read.map(Given::One).map_err(|error| vec![AmountFault::new(A02, at, error.to_string())])
    }

    /// `$hose`: the variant's values are the figures.
    fn by_own_values(&self, variant: &str, at: &str) -> Result<Given, Vec<AmountFault>> {
        let Some((name, values)) = self.equipment.variants.get_key_value(variant) else {
            return Err(vec![unknown(self.equipment, variant, at)]);
        };
        let mut each = Vec::new();
        let mut faults = Vec::new();
        for value in values {
            match self.method.read(self.name, value) {
                Ok(given) => each.push((value.clone(), given)),
                Err(error) => faults.push(
                    AmountFault::new(
                        A04,
                        at,
                        format!("the value `{value}` of the variant `{name}` does not do: {error}"),
                    )
                    .help(format!("give a figure for each value: `{{ ${name}: {{ {value}: … }} }}`")),
                ),
            }
        }
        if faults.is_empty() { Ok(Given::By(name.clone(), each)) } else { Err(faults) }
    }

    /// `{ $tip: { fine: 0.30 L/min } }`: a figure for each value.
    fn by_map(
        &self,
        map: &IndexMap<String, IndexMap<String, StatedInput>>,
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
        let Some((name, values)) = self.equipment.variants.get_key_value(variant) else {
            return Err(vec![unknown(self.equipment, variant, &inside).of_key()]);
        };
        let mut each = Vec::new();
        let mut faults = Vec::new();
        for (value, figure) in figures {
            let at = pointer(&inside, value);
            if !values.contains(value) {
                let fault =
                    AmountFault::new(A04, &at, format!("the variant `{name}` has no value `{value}`"))
                        .of_key();
                faults.push(match meant(value, values.iter().map(String::as_str)) {
                    Some(help) => fault.help(help),
                    None => fault,
                });
            }
            match figure.read() {
                Ok(given) => each.push((value.clone(), given.clone())),
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
}

fn unknown(equipment: &Equipment, variant: &str, at: &str) -> AmountFault {
    let fault = AmountFault::new(A02, at, format!("the equipment has no variant `{variant}`"));
    match meant(variant, equipment.variants.keys().map(|name| &**name)) {
        Some(help) => fault.help(help),
        None => fault,
    }
}
