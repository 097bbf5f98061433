//! Who calls, and what the call says.

use super::reply::ApiFault;
use crate::fault::Fault;
use crate::fields::{Fields, Peer, Visitor, is_ours};
use crate::handle::Handle;
use axum::Json;
use axum::extract::{FromRequest, FromRequestParts, Request};
use axum::http::{StatusCode, request::Parts};
use axum::response::IntoResponse as _;
use serde_json::{Map, Value};

/// Somebody who is signed in and asks.
pub(super) struct Caller(pub(super) Visitor);

impl FromRequestParts<Handle> for Caller {
    type Rejection = ApiFault;

    async fn from_request_parts(parts: &mut Parts, handle: &Handle) -> Result<Self, ApiFault> {
        Visitor::from_request_parts(parts, handle).await.map(Self).map_err(ApiFault)
    }
}

/// What is a text, as the description says.
const TEXTS: [&str; 13] = [
    "name",
    "pin",
    "procedure",
    "serial",
    "say",
    "value",
    "number",
    "unit",
    "key",
    "person",
    "reason",
    "remark",
    "caption",
];

/// To JSON 3.0 is a whole number.
fn whole(number: &serde_json::Number) -> String {
    let text = number.to_string();
    text.strip_suffix(".0").map(str::to_owned).unwrap_or(text)
}

fn of_another_type(name: &str) -> String {
    format!("`{name}` is of another type than the description says.")
}

/// A JSON object of texts, numbers and truth values, as the fields of a form.
pub(super) struct Body(pub(super) Fields);

impl FromRequest<Handle> for Body {
    type Rejection = ApiFault;

    async fn from_request(request: Request, handle: &Handle) -> Result<Self, ApiFault> {
        let unusable = |why: &str| ApiFault(Fault::Unusable(why.to_owned()));
        let from = request.extensions().get().map(|Peer(address)| *address);
        let map = match Json::<Map<String, Value>>::from_request(request, handle).await {
            Ok(Json(map)) => map,
            Err(rejection) if rejection.status() == StatusCode::PAYLOAD_TOO_LARGE => {
                return Err(ApiFault(Fault::TooLarge));
            }
            Err(rejection) => {
                let _ = rejection.into_response();
                return Err(unusable("The body is not a JSON object sent as application/json."));
            }
        };
        let mut fields = Fields { from, ..Fields::default() };
        for (name, value) in map {
            let text = match (name.as_str(), value) {
                ("position", Value::Number(number)) | ("value", Value::Number(number)) => whole(&number),
                ("rehearsal" | "training" | "value", Value::Bool(is)) => {
                    if is { "yes" } else { "no" }.to_owned()
                }
                ("position" | "rehearsal" | "training", _) => return Err(unusable(&of_another_type(&name))),
                (_, Value::String(text)) => text,
                (known, _) if TEXTS.contains(&known) => return Err(unusable(&of_another_type(&name))),
                // What nobody here knows does no harm.
                _ => continue,
            };
            fields.named.insert(name, text);
        }
        Ok(Self(fields))
    }
}

/// What a call must say, so that a program which left something out is told.
pub(super) fn says(fields: &Fields, names: &[&str]) -> Result<(), Fault> {
    match names.iter().find(|name| !fields.named.contains_key(**name)) {
        None => Ok(()),
        Some(name) => Err(Fault::Unusable(format!("`{name}` is missing."))),
    }
}

/// Somebody who is signed in and changes something; the call carries the token of the sign-in.
pub(super) struct Call {
    pub(super) visitor: Visitor,
    pub(super) fields: Fields,
}

impl FromRequest<Handle> for Call {
    type Rejection = ApiFault;

    async fn from_request(request: Request, handle: &Handle) -> Result<Self, ApiFault> {
        let (mut parts, body) = request.into_parts();
        let Caller(visitor) = Caller::from_request_parts(&mut parts, handle).await?;
        let csrf =
            parts.headers.get("x-csrf-token").and_then(|token| token.to_str().ok()).unwrap_or_default();
        is_ours(&visitor, csrf).map_err(ApiFault)?;
        let Body(fields) = Body::from_request(Request::from_parts(parts, body), handle).await?;
        Ok(Self { visitor, fields })
    }
}
