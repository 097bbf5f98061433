//! Figures: written with their unit, or worked out by a method.

use super::Name;
use indexmap::IndexMap;
use serde::{Deserialize, Serialize};

/// A figure with its unit such as `45 s`, or `$name` for an amount of the equipment or the procedure.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(transparent)]
pub struct Figure(
    /// The authored text.
    pub String,
);

impl Figure {
    /// The amount's name, if the figure refers to one.
    #[must_use]
    pub fn reference(&self) -> Option<&str> {
        self.0.strip_prefix('$')
    }
}

/// A figure that a method works out from its inputs.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct Amount {
    /// Name of the method, such as `line-purge`.
    pub method: Name,
    /// Inputs of the method by name.
    #[serde(flatten)]
    pub inputs: IndexMap<String, Input>,
}

impl Input {
    /// Whether only the product's label gives the figure: it is written `label`.
    #[must_use]
    pub fn is_label(&self) -> bool {
        matches!(self, Self::Figure(text) if text == "label")
    }
}

/// One input of a method.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(untagged)]
pub enum Input {
    /// A pure number, such as a count.
    Number(f64),
    /// A figure with its unit, or a word; `$variant` where the variant's values are figures; `label` for what only the
    /// product's label gives, which the walk asks for.
    Figure(String),
    /// `{ $variant: { value: figure } }`: a figure for each value of a variant.
    ByVariant(IndexMap<String, IndexMap<String, String>>),
}
