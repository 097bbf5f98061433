//! What goes wrong with a request, as the person is told it. Details of our own faults go to the log alone.

use crate::render;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
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
            other => Self::ours(other),
        }
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

impl IntoResponse for Fault {
    fn into_response(self) -> Response {
        let (status, title, told) = match &self {
            Self::SignIn(next) => return go(&format!("/sign-in?next={}", quoted(next))),
            Self::Locked(next) => return go(&format!("/unlock?next={}", quoted(next))),
            Self::NotThere => (StatusCode::NOT_FOUND, "Not there", "There is no such page or record."),
            Self::Unusable(why) => (StatusCode::BAD_REQUEST, "Not taken", why.as_str()),
            Self::Forbidden(why) => (StatusCode::FORBIDDEN, "Not allowed", why.as_str()),
            Self::TooLarge => {
                (StatusCode::PAYLOAD_TOO_LARGE, "Too large", "More was sent than is taken here.")
            }
            Self::Ours(_) => (
                StatusCode::INTERNAL_SERVER_ERROR,
                "A fault of the program or the disk",
                "What was asked for could not be done. What was recorded before is kept. Try again; if it stays so, \
                 tell whoever runs this program.",
            ),
        };
        let mut response = (status, render::fault(title, told)).into_response();
        if let Self::Ours(detail) = self {
            response.extensions_mut().insert(Detail(detail));
        }
        response
    }
}
