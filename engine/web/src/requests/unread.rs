//! Why a request cannot be read, as whoever sent it is told: always with the name of the field.

use serde::de::{Error, Expected, Unexpected};
use std::fmt;

#[derive(Debug, PartialEq, Eq)]
pub(super) enum Unread {
    Missing(&'static str),
    Unknown(String),
    Wrong {
        /// Known one level up, where the fields are gone through.
        name: Option<String>,
        /// What is said after the name.
        why: String,
    },
}

impl Unread {
    pub(super) fn of_another_type() -> Self {
        Self::custom("is of another type than the description says.")
    }

    pub(super) fn named(self, field: &str) -> Self {
        match self {
            Self::Wrong { name, why } => Self::Wrong { name: name.or_else(|| Some(field.to_owned())), why },
            Self::Missing(_) | Self::Unknown(_) => self,
        }
    }
}

impl fmt::Display for Unread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Missing(name) => write!(f, "`{name}` is missing."),
            Self::Unknown(name) => write!(f, "`{name}` is not known here."),
            Self::Wrong { name, why } => write!(f, "`{}` {why}", name.as_deref().unwrap_or("body")),
        }
    }
}

impl std::error::Error for Unread {}

impl Error for Unread {
    fn custom<T: fmt::Display>(why: T) -> Self {
        Self::Wrong { name: None, why: why.to_string() }
    }

    fn invalid_type(_: Unexpected<'_>, _: &dyn Expected) -> Self {
        Self::of_another_type()
    }

    fn invalid_value(_: Unexpected<'_>, expected: &dyn Expected) -> Self {
        Self::custom(format_args!("is not {expected}."))
    }

    fn missing_field(name: &'static str) -> Self {
        Self::Missing(name)
    }

    fn unknown_field(name: &str, _: &'static [&'static str]) -> Self {
        Self::Unknown(name.to_owned())
    }
}
