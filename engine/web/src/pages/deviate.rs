//! An act done otherwise than written, with a reason, allowed by somebody who may.

use super::machines;
use super::walk::{Notice, answered, page};
use crate::fault::Fault;
use crate::footing::Footing;
use crate::forms::Post;
use crate::handle::Handle;
use crate::requests::Deviation;
use crate::standing::Standing;
use crate::visitor::Visitor;
use crate::{random, render, signatures, view};
use axum::extract::{Path, State};
use axum::response::Response;
use minijinja::context;
use minijinja::value::{Serde, Value};

pub(crate) async fn show(
    State(handle): State<Handle>,
    visitor: Visitor,
    Path(id): Path<String>,
) -> Result<Response, Fault> {
    handle
        .run(move |app| {
            let Standing { walk, judged: _, footing, attends: _, page: card } =
                Standing::of(app, &visitor, &id)?;
            if footing != Footing::Proved {
                return page(app, &visitor, &id, Notice::default());
            }
            if !walk.may_deviate() {
                let notice = Notice::why(
                    "Nothing can be done otherwise here",
                    "Only an act can; stop work if it cannot go on",
                );
                return page(app, &visitor, &id, notice);
            }
            let values = context! {
                id,
                machine => machines::told_in(app, &walk)?,
                step => Value::from(Serde(view::step(&walk, &card))),
                training => walk.begin().training,
                rehearsal => walk.begin().rehearsal,
                role => app.releasing_role(&walk).replace('-', " "),
                position => walk.position(),
                key => random::token()?,
            };
            render::page("deviate.html", Some(&visitor), app.lock_ms, values)
        })
        .await
}

pub(crate) async fn submit(
    State(handle): State<Handle>,
    Path(id): Path<String>,
    post: Post<Deviation>,
) -> Result<Response, Fault> {
    answered(handle, id, post, String::new(), signatures::deviate).await
}
