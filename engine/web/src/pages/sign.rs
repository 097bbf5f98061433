//! A second person signs on the same device.

use super::walk::after;
use crate::app::{App, work};
use crate::fault::Fault;
use crate::fields::Post;
use crate::signatures;
use axum::extract::{Path, State};
use axum::response::Response;
use std::sync::Arc;

pub(crate) async fn take(
    State(app): State<Arc<App>>,
    Path(id): Path<String>,
    Post { visitor, fields }: Post,
) -> Result<Response, Fault> {
    work(&app, move |app| {
        let said = signatures::sign(app, &visitor, &id, &fields)?;
        after(app, &visitor, &id, &fields, said)
    })
    .await
}
