//! Names: lower-case words joined by hyphens.

use serde::{Deserialize, Serialize};
use std::borrow::Borrow;
use std::fmt;
use std::ops::Deref;

/// A name such as `outlet-valve`: lower-case letters, digits and single hyphens, starting with a letter or digit.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(transparent)]
pub struct Name(
    /// The text, already held to the pattern by the schema.
    #[cfg_attr(test, schemars(regex(pattern = r"^[a-z0-9]+(-[a-z0-9]+)*$")))]
    pub String,
);

impl Name {
    /// The name as words, for people: `outlet-valve` reads "outlet valve".
    #[must_use]
    pub fn words(&self) -> String {
        self.0.replace('-', " ")
    }
}

impl Deref for Name {
    type Target = str;
    fn deref(&self) -> &str {
        &self.0
    }
}

impl Borrow<str> for Name {
    fn borrow(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Name {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl From<&str> for Name {
    fn from(text: &str) -> Self {
        Self(text.to_owned())
    }
}
