//! Who calls, and what the call says.

use super::reply::ApiFault;
use crate::app::App;
use crate::fault::Fault;
use crate::fields::{Fields, Peer, Visitor, is_ours};
use axum::Json;
use axum::extract::{FromRequest, FromRequestParts, Request};
use axum::http::{StatusCode, request::Parts};
use axum::response::IntoResponse as _;
use serde_json::{Map, Value};
use std::sync::Arc;

/// Somebody who is signed in and asks.
pub(super) struct Caller(pub(super) Visitor);

impl FromRequestParts<Arc<App>> for Caller {
    type Rejection = ApiFault;

    async fn from_request_parts(parts: &mut Parts, app: &Arc<App>) -> Result<Self, ApiFault> {
        Visitor::from_request_parts(parts, app).await.map(Self).map_err(ApiFault)
    }
}

/// A JSON object of texts, numbers and truth values, as the fields of a form.
pub(super) struct Said(pub(super) Fields);

impl FromRequest<Arc<App>> for Said {
    type Rejection = ApiFault;

    async fn from_request(request: Request, app: &Arc<App>) -> Result<Self, ApiFault> {
        let unusable = |why: &str| ApiFault(Fault::Unusable(why.to_owned()));
        let from = request.extensions().get().map(|Peer(address)| *address);
        let map = match Json::<Map<String, Value>>::from_request(request, app).await {
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
            let text = match value {
                Value::String(text) => text,
                Value::Number(number) => number.to_string(),
                Value::Bool(true) => "yes".to_owned(),
                Value::Bool(false) => "no".to_owned(),
                Value::Null | Value::Array(_) | Value::Object(_) => {
                    return Err(unusable("A value is neither a text nor a number nor true or false."));
                }
            };
            fields.named.insert(name, text);
        }
        Ok(Self(fields))
    }
}

/// Somebody who is signed in and changes something; the call carries the token of the sign-in.
pub(super) struct Call {
    pub(super) visitor: Visitor,
    pub(super) fields: Fields,
}

impl FromRequest<Arc<App>> for Call {
    type Rejection = ApiFault;

    async fn from_request(request: Request, app: &Arc<App>) -> Result<Self, ApiFault> {
        let (mut parts, body) = request.into_parts();
        let Caller(visitor) = Caller::from_request_parts(&mut parts, app).await?;
        let csrf =
            parts.headers.get("x-csrf-token").and_then(|token| token.to_str().ok()).unwrap_or_default();
        is_ours(&visitor, csrf).map_err(ApiFault)?;
        let Said(fields) = Said::from_request(Request::from_parts(parts, body), app).await?;
        Ok(Self { visitor, fields })
    }
}
