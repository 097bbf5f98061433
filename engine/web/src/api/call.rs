//! Who calls, and what the call says.

use super::reply::ApiFault;
use crate::fault::Fault;
use crate::handle::Handle;
use crate::requests::{JsonObject, from_json};
use crate::visitor::{Visitor, is_ours};
use axum::Json;
use axum::extract::{FromRequest, FromRequestParts, Request};
use axum::http::{StatusCode, request::Parts};
use serde::de::DeserializeOwned;

/// Somebody who is signed in and asks.
pub(super) struct Caller(pub(super) Visitor);

impl FromRequestParts<Handle> for Caller {
    type Rejection = ApiFault;

    async fn from_request_parts(parts: &mut Parts, handle: &Handle) -> Result<Self, ApiFault> {
        Visitor::from_request_parts(parts, handle).await.map(Self).map_err(ApiFault)
    }
}

/// What a JSON object says.
pub(super) struct Body<T>(pub(super) T);

impl<T: DeserializeOwned> FromRequest<Handle> for Body<T> {
    type Rejection = ApiFault;

    async fn from_request(request: Request, handle: &Handle) -> Result<Self, ApiFault> {
        match Json::<JsonObject>::from_request(request, handle).await {
            Ok(Json(object)) => from_json(object).map(Self).map_err(ApiFault),
            Err(rejection) if rejection.status() == StatusCode::PAYLOAD_TOO_LARGE => {
                Err(ApiFault(Fault::TooLarge))
            }
            Err(_) => {
                let why = "The body is not a JSON object sent as application/json.";
                Err(ApiFault(Fault::Unusable(why.to_owned())))
            }
        }
    }
}

/// Somebody who is signed in and changes something; the call carries the token of the sign-in.
pub(super) struct Call<T> {
    pub(super) visitor: Visitor,
    pub(super) request: T,
}

impl<T: DeserializeOwned> FromRequest<Handle> for Call<T> {
    type Rejection = ApiFault;

    async fn from_request(request: Request, handle: &Handle) -> Result<Self, ApiFault> {
        let (mut parts, body) = request.into_parts();
        let Caller(visitor) = Caller::from_request_parts(&mut parts, handle).await?;
        let csrf =
            parts.headers.get("x-csrf-token").and_then(|token| token.to_str().ok()).unwrap_or_default();
        is_ours(&visitor, csrf).map_err(ApiFault)?;
        let Body(request) = Body::from_request(Request::from_parts(parts, body), handle).await?;
        Ok(Self { visitor, request })
    }
}
