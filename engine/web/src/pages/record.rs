//! One walk, event by event, for the screen and for paper.

use crate::fault::Fault;
use crate::handle::Handle;
use crate::render;
use crate::visitor::Visitor;
use axum::extract::{Path, State};
use axum::http::header;
use axum::response::{IntoResponse, Response};
use journal::Verification;
use minijinja::context;
use minijinja::value::{Serde, Value};
use records::{printed, shown};
use serde::Serialize;
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
    State(handle): State<Handle>,
    visitor: Visitor,
    Path(id): Path<String>,
) -> Result<Response, Fault> {
    handle
        .run(move |app| {
            let journal = app.journal()?;
            let (outline, events, verification) = walk::as_it_stands(&journal, &id)?;
            let records = journal.records(&id)?;
            let lines: Vec<Line> = events
                .iter()
                .zip(walk::words(&events))
                .enumerate()
                .map(|(seq, ((at, event), words))| Line {
                    seq,
                    at: shown(*at),
                    words,
                    photo: if let Event::Photographed { photo, .. } = event {
                        Some(photo.clone())
                    } else {
                        None
                    },
                    caption: if let Event::Photographed { caption, .. } = event {
                        caption.clone()
                    } else {
                        String::new()
                    },
                })
                .collect();
            let begin = &outline.begin;
            let head = records.last().map(|record| record.hash.to_string());
            let values = context! {
                id => &id,
                title => &outline.title,
                facts => printed::facts(&id, &outline, &verification, head.as_deref()),
                ended => outline.status.is_ended(),
                training => begin.training,
                rehearsal => begin.rehearsal,
                lines => Value::from(Serde(&lines)),
                fault => matches!(verification, Verification::Broken(_)),
                on_paper => app.reviews.prints(),
            };
            render::page("record.html", Some(&visitor), app.lock_ms, values)
        })
        .await
}

/// The same on paper; not there in a program that makes no PDF.
pub(crate) async fn paper(
    State(handle): State<Handle>,
    _: Visitor,
    Path(id): Path<String>,
) -> Result<Response, Fault> {
    handle
        .run(move |app| {
            if !app.reviews.prints() {
                return Err(Fault::NotThere);
            }
            let sheet = printed::sheet(&app.journal()?, &id, app.zone())?;
            let bytes = app.reviews.on_paper(sheet).map_err(Fault::ours)?;
            Ok(([(header::CONTENT_TYPE, "application/pdf")], bytes).into_response())
        })
        .await
}
