//! The page that a person is shown when a request cannot be answered.

use crate::fault::{Detail, Fault, go, quoted};
use crate::render;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};

impl IntoResponse for Fault {
    fn into_response(self) -> Response {
        let damaged;
        let (status, title, told) = match &self {
            Self::SignIn(next) => return go(&format!("/sign-in?next={}", quoted(next))),
            Self::Locked(next) => return go(&format!("/unlock?next={}", quoted(next))),
            Self::NotThere => (StatusCode::NOT_FOUND, "Not there", "There is no such page or record."),
            Self::Unusable(why) => (StatusCode::BAD_REQUEST, "Not taken", why.as_str()),
            Self::Forbidden(why) => (StatusCode::FORBIDDEN, "Not allowed", why.as_str()),
            Self::TooLarge => {
                (StatusCode::PAYLOAD_TOO_LARGE, "Too large", "More was sent than is taken here.")
            }
            Self::Incomplete(why) => (StatusCode::INTERNAL_SERVER_ERROR, "Not complete", why.as_str()),
            Self::Damaged(why) => {
                damaged = format!(
                    "{why}. Nobody goes on with this walk: stop work by the card, and tell whoever runs this program."
                );
                (StatusCode::INTERNAL_SERVER_ERROR, "The records are damaged", damaged.as_str())
            }
            Self::Ours(_) => (
                StatusCode::INTERNAL_SERVER_ERROR,
                "A fault of the program or the disk",
                "What was asked for could not be done. What was recorded before is kept. Try again; if it stays so, \
                 tell whoever runs this program.",
            ),
        };
        let mut response = (status, render::fault(title, told)).into_response();
        if let Self::Ours(detail) | Self::Damaged(detail) = self {
            response.extensions_mut().insert(Detail(detail));
        }
        response
    }
}
