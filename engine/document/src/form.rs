//! Small texts beside the documents: read strictly, and refused in one line.

use serde::de::DeserializeOwned;
use std::fmt;

/// A text that is not of the form it should be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FormError {
    what: &'static str,
    fault: String,
}

impl FormError {
    /// A text that reads well and still lacks something; `fault` says what to write.
    #[must_use]
    pub fn new(what: &'static str, fault: String) -> Self {
        Self { what, fault }
    }

    /// Reads a text; `what` names its kind, and the schema that says its form.
    ///
    /// # Errors
    /// If it has another form.
    pub fn parse<T: DeserializeOwned>(what: &'static str, text: &str) -> Result<T, Self> {
        serde_yaml::from_str(text).map_err(|error| {
            let fault = error.to_string();
            // The reader appends a picture of the text; a message is one line.
            Self { what, fault: fault.lines().next().unwrap_or_default().to_owned() }
        })
    }
}

impl fmt::Display for FormError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "this is no {} file: {}; `schemas/{}.schema.json` says its form",
            self.what, self.fault, self.what
        )
    }
}

impl std::error::Error for FormError {}
