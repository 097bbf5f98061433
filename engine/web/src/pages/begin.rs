//! Beginning a walk.

use super::machines;
use crate::app::App;
use crate::fault::{Fault, go};
use crate::forms::Post;
use crate::handle::Handle;
use crate::requests::{Beginning, Key};
use crate::store::BeginOutcome;
use crate::visitor::Visitor;
use crate::{random, render};
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use minijinja::context;
use minijinja::value::{Serde, Value};
use serde::Deserialize;

fn form(
    app: &App,
    visitor: &Visitor,
    procedure: &str,
    serial: &str,
    refusal: &str,
) -> Result<Response, Fault> {
    let documents = app.documents();
    let library = documents.library();
    let document = library.procedures.get(procedure).ok_or(Fault::NotThere)?;
    let equipment = library.equipment.get(&document.model.equipment);
    let status = if refusal.is_empty() { StatusCode::OK } else { StatusCode::UNPROCESSABLE_ENTITY };
    let approval = app.status(&documents, procedure)?;
    let not_proved = documents.not_begun(procedure);
    let (out, unreadable) = machines::out_of_service(app, &documents, &document.model.equipment)?;
    let values = context! {
        name => procedure,
        title => &document.model.title,
        revision => document.model.revision,
        purpose => &document.model.purpose,
        equipment => equipment.map(|equipment| equipment.model.title.as_str()),
        defer => equipment.and_then(|equipment| equipment.model.defer.as_deref()),
        unread_register => documents.unread_register.as_deref(),
        is_judged => documents.is_judged(procedure),
        not_proved,
        not_by_hand => documents.not_by_hand(procedure).map(ToString::to_string),
        approved => approval.is_approved(),
        standing => approval.sentence(),
        serial,
        key => random::token()?,
        refusal,
        serials => machines::serials(&documents, &document.model.equipment),
        out,
        unreadable => Value::from(Serde(&*unreadable)),
    };
    render::page_as(status, "begin.html", Some(visitor), app.lock_ms, values)
}

/// The machine, where a link names it.
#[derive(Deserialize)]
pub(crate) struct NamedMachine {
    #[serde(default)]
    serial: String,
}

pub(crate) async fn show(
    State(handle): State<Handle>,
    visitor: Visitor,
    Path(procedure): Path<String>,
    Query(wanted): Query<NamedMachine>,
) -> Result<Response, Fault> {
    handle.run(move |app| form(app, &visitor, &procedure, &wanted.serial, "")).await
}

/// Begins a walk that a form or a call asks for; or says why not.
pub(crate) fn begun(app: &App, visitor: &Visitor, asked: &Beginning) -> Result<BeginOutcome, Fault> {
    let Beginning { procedure, serial, rehearsal, training, key } = asked;
    let documents = app.documents();
    let library = documents.library();
    let document = library.procedures.get(procedure.as_str()).ok_or(Fault::NotThere)?;
    let not_proved = documents.not_begun(procedure);
    let beginning = records::Beginning {
        procedure,
        serial,
        person: &visitor.name,
        training: *training,
        rehearsal: *rehearsal,
        not_proved: not_proved.as_deref(),
        is_approved: app.status(&documents, procedure)?.is_approved(),
    };
    let lacks = || {
        // Whether the machine is out of service nobody knows then.
        if documents.has_lost_register {
            let why = documents.unread_register.as_deref().unwrap_or("The register cannot be used");
            return Ok(Some(why.trim_end_matches('.').to_owned()));
        }
        let people = app.reviews.people(library, procedure).map_err(Fault::Unusable)?;
        app.may_not_walk(people.as_ref(), document.model.performers.keys(), &visitor.name)
    };
    let begin = match beginning.begin(library, lacks)? {
        Ok(begin) => begin,
        Err(why) => return Ok(BeginOutcome::Refused(why.to_string())),
    };
    app.begin(documents.to_begin(begin), key.as_ref().map(Key::as_str))
}

pub(crate) async fn submit(
    State(handle): State<Handle>,
    Path(procedure): Path<String>,
    Post { visitor, request }: Post<Beginning>,
) -> Result<Response, Fault> {
    // The page says which procedure in its path.
    let beginning = Beginning { procedure, ..request };
    handle
        .run(move |app| {
            let refusal = match begun(app, &visitor, &beginning)? {
                BeginOutcome::Begun(id) => return Ok(go(&format!("/walks/{id}"))),
                BeginOutcome::OtherWalk { id, before } => {
                    format!("{} Begin another from here.", BeginOutcome::other_walk(&id, &before))
                }
                BeginOutcome::Refused(why) => why,
            };
            form(app, &visitor, &beginning.procedure, &beginning.serial, &refusal)
        })
        .await
}
