//! A second person signs on the same device.

use super::walk::answered;
use crate::fault::Fault;
use crate::forms::Post;
use crate::handle::Handle;
use crate::requests::Signature;
use crate::signatures;
use axum::extract::{Path, State};
use axum::response::Response;

pub(crate) async fn submit(
    State(handle): State<Handle>,
    Path(id): Path<String>,
    post: Post<Signature>,
) -> Result<Response, Fault> {
    answered(handle, id, post, String::new(), signatures::sign).await
}
