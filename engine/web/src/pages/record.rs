//! One walk, event by event, for the screen and for paper.

use crate::app::{App, work};
use crate::fault::Fault;
use crate::fields::Visitor;
use crate::render;
use axum::extract::{Path, State};
use axum::response::Response;
use journal::Verification;
use minijinja::context;
use minijinja::value::{Serde, Value};
use records::shown;
use serde::Serialize;
use std::sync::Arc;
use walk::Event;

/// One event in a line.
#[derive(Serialize)]
struct Line {
    seq: usize,
    at: String,
    words: String,
    /// The hash of a photo.
    photo: Option<String>,
    caption: String,
}

pub(crate) async fn show(
    State(app): State<Arc<App>>,
    visitor: Visitor,
    Path(id): Path<String>,
) -> Result<Response, Fault> {
    work(&app, move |app| {
        let store = app.store();
        let walk = walk::fold(&store.journal, &id)?;
        let events = walk::events(&store.journal, &id)?;
        let records = store.journal.records(&id)?;
        let verification = store.journal.verify_chain(&id)?;
        drop(store);
        let lines: Vec<Line> = events
            .iter()
            .enumerate()
            .map(|(seq, (at, event))| Line {
                seq,
                at: shown(*at),
                words: walk::words(event),
                photo: if let Event::Photographed { photo, .. } = event { Some(photo.clone()) } else { None },
                caption: if let Event::Photographed { caption, .. } = event {
                    caption.clone()
                } else {
                    String::new()
                },
            })
            .collect();
        let begin = walk.begin();
        let fault =
            if let Verification::Broken(fault) = &verification { Some(fault.to_string()) } else { None };
        let values = context! {
            id,
            title => walk.procedure().map(|procedure| procedure.title.as_str()),
            procedure => &begin.procedure,
            revision => begin.revision,
            content => &begin.content,
            equipment => &begin.equipment,
            serial => &begin.serial,
            begun_by => &begin.person,
            walker => walk.person(),
            standing => walk.standing().words(),
            ended => walk.standing().is_ended(),
            reason => walk.stop_reason(),
            training => begin.training,
            rehearsal => begin.rehearsal,
            lines => Value::from(Serde(&lines)),
            head => records.last().map(|record| record.hash.to_string()),
            fault,
        };
        render::page("record.html", Some(&visitor), app.lock_ms, values)
    })
    .await
}
