//! What goes wrong with a request, as the person is told it. Details of our own faults go to the log alone.

use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use std::fmt;

/// Why a request is not answered with what was asked for.
#[derive(Debug)]
pub(crate) enum Fault {
    /// Nobody is signed in; afterwards go to this path.
    SignIn(String),
    /// The sign-in is locked; afterwards go to this path.
    Locked(String),
    /// What is asked for is not there.
    NotThere,
    /// The request cannot be used.
    Unusable(String),
    /// This person may not, or the form is not one of ours.
    Forbidden(String),
    /// Too much was sent.
    TooLarge,
    /// It is told of all walks or not at all, and some cannot be read.
    Incomplete(String),
    /// The records of what is asked for cannot be relied on, and why.
    Damaged(String),
    /// A fault of our own, or of the disk.
    Ours(String),
}

impl Fault {
    pub(crate) fn ours(error: impl fmt::Display) -> Self {
        Self::Ours(error.to_string())
    }
}

impl From<credentials::CredentialError> for Fault {
    fn from(error: credentials::CredentialError) -> Self {
        Self::ours(error)
    }
}

impl From<journal::Error> for Fault {
    fn from(error: journal::Error) -> Self {
        match error {
            journal::Error::UnknownChain { .. } => Self::NotThere,
            other => Self::ours(other),
        }
    }
}

impl From<walk::Error> for Fault {
    fn from(error: walk::Error) -> Self {
        match error {
            walk::Error::Journal(error) => error.into(),
            walk::Error::Refused(refusal) => Self::Unusable(refusal.to_string()),
            damaged @ (walk::Error::Unsound(_) | walk::Error::Record { .. } | walk::Error::Broken(_)) => {
                Self::Damaged(damaged.to_string())
            }
        }
    }
}

impl From<records::Incomplete> for Fault {
    fn from(incomplete: records::Incomplete) -> Self {
        Self::Incomplete(incomplete.to_string())
    }
}

impl From<minijinja::Error> for Fault {
    fn from(error: minijinja::Error) -> Self {
        Self::Ours(format!("{error:#}"))
    }
}

impl From<getrandom::Error> for Fault {
    fn from(error: getrandom::Error) -> Self {
        Self::ours(error)
    }
}

/// For the log: attached to the answer where our own fault is behind it.
#[derive(Clone)]
pub(crate) struct Detail(pub(crate) String);

/// A text as part of a query.
pub(crate) fn quoted(path: &str) -> String {
    let kept = |byte: u8| byte.is_ascii_alphanumeric() || b"-._~/".contains(&byte);
    path.bytes()
        .map(|byte| if kept(byte) { char::from(byte).to_string() } else { format!("%{byte:02X}") })
        .collect()
}

/// Goes on with another page.
pub(crate) fn go(path: &str) -> Response {
    (StatusCode::SEE_OTHER, [(header::LOCATION, path.to_owned())]).into_response()
}
