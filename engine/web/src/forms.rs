//! Forms: whether they are ours, and what they say.

use crate::fault::Fault;
use crate::handle::Handle;
use crate::requests::{Envelope, Fields, fields, from_form};
use crate::visitor::{Visitor, is_ours};
use axum::extract::{FromRequest, FromRequestParts, RawForm, Request};
use axum::http::StatusCode;
use axum::response::IntoResponse as _;
use serde::de::DeserializeOwned;

/// The fields of a form.
#[derive(Debug)]
pub(crate) struct FormFields(pub(crate) Fields);

impl FormFields {
    /// What they say.
    pub(crate) fn read<T: DeserializeOwned>(&self) -> Result<T, Fault> {
        from_form(&self.0)
    }
}

impl FromRequest<Handle> for FormFields {
    type Rejection = Fault;

    async fn from_request(request: Request, handle: &Handle) -> Result<Self, Fault> {
        match RawForm::from_request(request, handle).await {
            Ok(RawForm(encoded)) => fields(&encoded).map(Self),
            Err(rejection) => match rejection.into_response().status() {
                StatusCode::PAYLOAD_TOO_LARGE => Err(Fault::TooLarge),
                _ => Err(Fault::Unusable("The form cannot be read.".to_owned())),
            },
        }
    }
}

/// The fields of a form that a signed-in person sent from one of our pages.
pub(crate) struct Posted {
    pub(crate) visitor: Visitor,
    pub(crate) fields: FormFields,
}

impl FromRequest<Handle> for Posted {
    type Rejection = Fault;

    async fn from_request(request: Request, handle: &Handle) -> Result<Self, Fault> {
        let (mut parts, body) = request.into_parts();
        let visitor = Visitor::from_request_parts(&mut parts, handle).await?;
        let fields = FormFields::from_request(Request::from_parts(parts, body), handle).await?;
        is_ours(&visitor, &fields.read::<Envelope>()?.csrf)?;
        Ok(Self { visitor, fields })
    }
}

/// The same where the form says one thing.
pub(crate) struct Post<T> {
    pub(crate) visitor: Visitor,
    pub(crate) request: T,
}

impl<T: DeserializeOwned> FromRequest<Handle> for Post<T> {
    type Rejection = Fault;

    async fn from_request(request: Request, handle: &Handle) -> Result<Self, Fault> {
        let Posted { visitor, fields } = Posted::from_request(request, handle).await?;
        Ok(Self { visitor, request: fields.read()? })
    }
}
