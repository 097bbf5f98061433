//! A conjunction of memberships: what conditions must be, or become.

use super::Name;
use indexmap::IndexMap;
use serde::{Deserialize, Deserializer};

/// Conditions with the values each may have; every one must hold.
pub type Cube = IndexMap<Name, Values>;

/// One value or a list of values. Written `live` or `[isolated, live]`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Values(pub Vec<String>);

impl<'de> Deserialize<'de> for Values {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Ok(Self(OneOrMany::deserialize(deserializer)?.into_vec()))
    }
}

// Faults of shape are told by the schema, with their place, before this is tried.
/// One value or a list of values: `live` or `[isolated, live]`.
#[derive(Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(untagged)]
pub(crate) enum OneOrMany {
    /// One value.
    One(String),
    /// Several; at least one.
    Many(#[cfg_attr(test, schemars(length(min = 1)))] Vec<String>),
}

impl OneOrMany {
    pub(crate) fn into_vec(self) -> Vec<String> {
        match self {
            Self::One(value) => vec![value],
            Self::Many(values) => values,
        }
    }
}

#[cfg(test)]
impl schemars::JsonSchema for Values {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Values".into()
    }
    fn json_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
        OneOrMany::json_schema(generator)
    }
}
