//! Stopping work, and releasing the machine afterwards.

use super::walk::{Notice, after, page};
use crate::fault::Fault;
use crate::forms::Posted;
use crate::handle::Handle;
use crate::requests::{StopForm, StopSay};
use crate::standing::Standing;
use crate::visitor::Visitor;
use crate::{answers, random, render, signatures};
use axum::extract::{Path, State};
use axum::response::Response;
use minijinja::context;
use minijinja::value::{Serde, Value};
use records::leaving;

pub(crate) async fn show(
    State(handle): State<Handle>,
    visitor: Visitor,
    Path(id): Path<String>,
) -> Result<Response, Fault> {
    handle
        .run(move |app| {
            // The way is worked out without the store being held.
            let Standing { walk, judged, footing: _, attends, page: _ } = Standing::of(app, &visitor, &id)?;
            let ground = judged.ground.as_ref();
            if walk.status().is_ended() {
                return page(app, &visitor, &id, Notice::default());
            }
            let values = context! {
                id,
                lines => Value::from(Serde(&leaving::preview(&walk, ground, attends))),
                by_another => ground.is_some(),
                training => walk.begin().training,
                rehearsal => walk.begin().rehearsal,
                position => walk.position(),
                key => random::token()?,
            };
            render::page("stop.html", Some(&visitor), app.lock_ms, values)
        })
        .await
}

pub(crate) async fn submit(
    State(handle): State<Handle>,
    Path(id): Path<String>,
    Posted { visitor, mut fields }: Posted,
) -> Result<Response, Fault> {
    handle
        .run(move |app| {
            let StopForm { say } = fields.read()?;
            fields.0.remove("say");
            let outcome = match say {
                StopSay::Return => signatures::release(app, &visitor, &id, &fields.read()?)?,
                StopSay::Stop => {
                    // Stopping is never too late: which step the page was at does not matter.
                    fields.0.remove("position");
                    answers::stop(app, &visitor, &id, fields.read()?)?
                }
            };
            after(app, &visitor, &id, String::new(), outcome)
        })
        .await
}
