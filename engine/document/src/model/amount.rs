//! Figures: written with their unit, or worked out by a method.

use super::{Name, Stated};
use calc::methods::{MethodError, Value, method};
use calc::quantity::Quantity;
use indexmap::IndexMap;
use serde::Deserialize;
use std::fmt;

/// A figure with its unit such as `45 s`, or `$name` for an amount of the equipment or the procedure.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(from = "String")]
pub enum Figure {
    /// `$name`: an amount.
    Amount(Name),
    /// A figure with its unit.
    Plain(Stated<Quantity>),
}

impl From<String> for Figure {
    fn from(text: String) -> Self {
        match text.strip_prefix('$') {
            Some(name) => Self::Amount(Name::from(name)),
            None => Self::Plain(Stated::from(text)),
        }
    }
}

/// As it is written.
impl fmt::Display for Figure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Amount(name) => write!(f, "${name}"),
            Self::Plain(stated) => f.write_str(stated.text()),
        }
    }
}

impl Figure {
    /// The amount's name, if the figure refers to one.
    #[must_use]
    pub fn reference(&self) -> Option<&Name> {
        match self {
            Self::Amount(name) => Some(name),
            Self::Plain(_) => None,
        }
    }

    /// The figure, if it is one with its unit.
    #[must_use]
    pub fn plain(&self) -> Option<&Quantity> {
        match self {
            Self::Amount(_) => None,
            Self::Plain(stated) => stated.read().ok(),
        }
    }
}

/// A figure that a method works out from its inputs.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(from = "WrittenAmount")]
pub struct Amount {
    /// Name of the method, such as `line-purge`.
    pub method: Name,
    /// Inputs of the method by name.
    pub inputs: IndexMap<String, Input>,
}

/// One input of a method.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Input {
    /// A pure number, such as a count.
    Number(StatedInput),
    /// A figure with its unit, or a word.
    Figure(StatedInput),
    /// `label`: only the product's label gives it, and the walk asks for it.
    Label,
    /// `$variant`: the variant's values are the figures.
    Variant(Name),
    /// `{ $variant: { value: figure } }`: a figure for each value of a variant. A fault is told unless there is one
    /// variant.
    ByVariant(IndexMap<String, IndexMap<String, StatedInput>>),
}

/// What an input is given, read as the method needs it.
pub type StatedInput = Stated<Value, MethodError>;

impl Input {
    /// Whether only the product's label gives the figure.
    #[must_use]
    pub fn is_label(&self) -> bool {
        matches!(self, Self::Label)
    }
}

impl Amount {
    /// Puts a figure in the place of an input.
    pub(crate) fn give(&mut self, input: &str, text: &str) {
        let stated = stated(&self.method, input, text.to_owned());
        self.inputs.insert(input.to_owned(), Input::Figure(stated));
    }
}

fn stated(of: &str, input: &str, text: String) -> StatedInput {
    Stated::new(text, |text| method(of)?.read(input, text))
}

impl From<WrittenAmount> for Amount {
    fn from(WrittenAmount { method, inputs }: WrittenAmount) -> Self {
        let read = |name: String, written: WrittenInput| {
            let one = |text: String| stated(&method, &name, text);
            let input = match written {
                WrittenInput::Number(number) => Input::Number(one(number.to_string())),
                WrittenInput::Figure(text) if text == "label" => Input::Label,
                WrittenInput::Figure(text) => match text.strip_prefix('$') {
                    Some(variant) => Input::Variant(Name::from(variant)),
                    None => Input::Figure(one(text)),
                },
                WrittenInput::ByVariant(variants) => {
                    let figures = |figures: IndexMap<String, String>| {
                        figures.into_iter().map(|(value, text)| (value, one(text))).collect()
                    };
                    Input::ByVariant(
                        variants.into_iter().map(|(variant, all)| (variant, figures(all))).collect(),
                    )
                }
            };
            (name, input)
        };
        let inputs = inputs.into_iter().map(|(name, written)| read(name, written)).collect();
        Self { method, inputs }
    }
}

// An amount as its keys stand in a document.
/// A figure that a method works out from its inputs.
#[derive(Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(rename = "Amount"))]
struct WrittenAmount {
    /// Name of the method, such as `line-purge`.
    method: Name,
    /// Inputs of the method by name.
    #[serde(flatten)]
    inputs: IndexMap<String, WrittenInput>,
}

/// One input of a method.
#[derive(Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(rename = "Input"))]
#[serde(untagged)]
enum WrittenInput {
    /// A pure number, such as a count.
    Number(f64),
    /// A figure with its unit, or a word; `$variant` where the variant's values are figures; `label` for what only the
    /// product's label gives, which the walk asks for.
    Figure(String),
    /// `{ $variant: { value: figure } }`: a figure for each value of a variant.
    ByVariant(IndexMap<String, IndexMap<String, String>>),
}

#[cfg(test)]
impl schemars::JsonSchema for Amount {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        WrittenAmount::schema_name()
    }

    fn json_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
        WrittenAmount::json_schema(generator)
    }
}
