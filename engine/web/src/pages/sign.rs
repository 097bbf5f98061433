//! A second person signs on the same device.

use super::walk::answered;
use crate::app::App;
use crate::fault::Fault;
use crate::fields::Post;
use crate::signatures;
use axum::extract::{Path, State};
use axum::response::Response;
use std::sync::Arc;

pub(crate) async fn submit(
    State(app): State<Arc<App>>,
    Path(id): Path<String>,
    post: Post,
) -> Result<Response, Fault> {
    answered(app, id, post, signatures::sign).await
}
