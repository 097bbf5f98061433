//! A conjunction of memberships: what conditions must be, or become.

use super::Name;
use indexmap::IndexMap;
use serde::{Deserialize, Deserializer};
use std::ops::Deref;

/// Conditions with the values each may have; every one must hold.
pub type Cube = IndexMap<Name, Values>;

/// What is true after an act: the conditions change in the order written, so two that differ in it are not equal.
#[derive(Clone, Debug, Default, Eq, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(transparent)]
pub struct Leaves(
    /// The conditions with their new values.
    pub Cube,
);

impl PartialEq for Leaves {
    fn eq(&self, other: &Self) -> bool {
        self.0.iter().eq(&other.0)
    }
}

impl Deref for Leaves {
    type Target = Cube;
    fn deref(&self) -> &Cube {
        &self.0
    }
}

// Faults of shape are told by the schema, with their place, before this is tried.
/// A map, of which all must hold, or a list of maps, of which any may.
#[derive(Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(untagged)]
pub(super) enum AnyOf {
    /// One map.
    One(Cube),
    /// Several; at least one.
    Many(#[cfg_attr(test, schemars(length(min = 1)))] Vec<Cube>),
}

/// Reads a map or a list of maps.
pub(super) fn any_of<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Vec<Cube>, D::Error> {
    Ok(match AnyOf::deserialize(deserializer)? {
        AnyOf::One(cube) => vec![cube],
        AnyOf::Many(cubes) => cubes,
    })
}

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
