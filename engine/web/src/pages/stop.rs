//! Stopping work, and releasing the machine afterwards.

use super::walk::{Notice, answered, page};
use crate::fault::Fault;
use crate::fields::{Post, Visitor};
use crate::handle::Handle;
use crate::{answers, random, render, signatures};
use axum::extract::{Path, State};
use axum::response::Response;
use minijinja::context;
use records::leaving;
use walk::Input;

pub(crate) async fn show(
    State(handle): State<Handle>,
    visitor: Visitor,
    Path(id): Path<String>,
) -> Result<Response, Fault> {
    handle
        .run(move |app| {
            let mut store = app.walk_store(&id)?;
            let walk = store.walk(&id)?;
            if walk.status().is_ended() {
                drop(store);
                return page(app, &visitor, &id, Notice::default());
            }
            let values = context! {
                id,
                ways => leaving::preview(walk),
                training => walk.begin().training,
                rehearsal => walk.begin().rehearsal,
                position => walk.position(),
                key => random::token()?,
            };
            drop(store);
            render::page("stop.html", Some(&visitor), app.lock_ms, values)
        })
        .await
}

pub(crate) async fn submit(
    State(handle): State<Handle>,
    Path(id): Path<String>,
    post: Post,
) -> Result<Response, Fault> {
    answered(handle, id, post, |app, visitor, id, fields| {
        if fields.get("say") == "return" {
            signatures::release(app, visitor, id, fields)
        } else {
            let input = Input::Stop(fields.get("reason").to_owned());
            answers::give(app, visitor, id, fields, &input, None)
        }
    })
    .await
}
