//! What is stated in a document as a text, and was read once.

use calc::quantity::{Duration, Quantity, QuantityError, Unit};
use serde::{Deserialize, Deserializer};

/// A text with what it was read as.
///
/// One that cannot be read stays in the document with the reason, so that everything wrong is told together, each at its
/// place; no document with such a fault is worked with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stated<T, E = QuantityError> {
    text: String,
    read: Result<T, E>,
}

impl<T, E> Stated<T, E> {
    pub(super) fn new(text: String, read: impl FnOnce(&str) -> Result<T, E>) -> Self {
        let read = read(&text);
        Self { text, read }
    }

    /// The text as written.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// What it was read as.
    ///
    /// # Errors
    /// The reason why it could not be read; for a document without findings never.
    pub fn read(&self) -> Result<&T, &E> {
        self.read.as_ref()
    }
}

impl From<String> for Stated<Quantity> {
    fn from(text: String) -> Self {
        Self::new(text, Quantity::parse)
    }
}

impl From<String> for Stated<Duration> {
    fn from(text: String) -> Self {
        Self::new(text, Duration::parse)
    }
}

impl From<String> for Stated<Unit> {
    fn from(text: String) -> Self {
        Self::new(text, Unit::parse)
    }
}

impl<'de, T, E> Deserialize<'de> for Stated<T, E>
where
    Self: From<String>,
{
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer).map(Self::from)
    }
}

#[cfg(test)]
impl<T, E> schemars::JsonSchema for Stated<T, E> {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> std::borrow::Cow<'static, str> {
        String::schema_name()
    }

    fn json_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
        String::json_schema(generator)
    }
}
