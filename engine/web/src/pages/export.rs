//! Records for other programs.

use crate::app::App;
use crate::fault::Fault;
use crate::handle::Handle;
use crate::visitor::Visitor;
use crate::walked::{Wanted, readable};
use axum::extract::{Path, State};
use axum::http::header;
use axum::response::{IntoResponse, Response};
use records::{Damaged, Filter, exported};

#[derive(Clone, Copy)]
enum Form {
    Json,
    Csv,
}

/// The records of walks; those that cannot be read are named in the file itself.
fn file(app: &App, ids: &[String], damaged: &[Damaged], name: &str, form: Form) -> Result<Response, Fault> {
    let journal = app.journal()?;
    let mut rows = Vec::new();
    for id in ids {
        rows.extend(exported::rows(&journal, id)?);
    }
    let (ending, media, text) = match form {
        Form::Json => ("json", "application/json", exported::json(&rows, damaged).map_err(Fault::ours)?),
        Form::Csv => ("csv", "text/csv; charset=utf-8", exported::csv(&rows, damaged)),
    };
    let plain: String =
        name.chars().filter(|letter| letter.is_ascii_alphanumeric() || *letter == '-').collect();
    let disposition = format!("attachment; filename=\"{plain}.{ending}\"");
    Ok(([(header::CONTENT_TYPE, media.to_owned()), (header::CONTENT_DISPOSITION, disposition)], text)
        .into_response())
}

fn fitting(app: &App, filter: &Filter, form: Form) -> Result<Response, Fault> {
    let (walks, damaged) = readable(app)?;
    let ids: Vec<String> = walks.into_iter().filter(|walk| filter.fits(walk)).map(|walk| walk.id).collect();
    file(app, &ids, &damaged, "records", form)
}

pub(crate) async fn all_json(
    State(handle): State<Handle>,
    _: Visitor,
    Wanted(filter): Wanted,
) -> Result<Response, Fault> {
    handle.run(move |app| fitting(app, &filter, Form::Json)).await
}

pub(crate) async fn all_csv(
    State(handle): State<Handle>,
    _: Visitor,
    Wanted(filter): Wanted,
) -> Result<Response, Fault> {
    handle.run(move |app| fitting(app, &filter, Form::Csv)).await
}

pub(crate) async fn json(
    State(handle): State<Handle>,
    _: Visitor,
    Path(id): Path<String>,
) -> Result<Response, Fault> {
    handle.run(move |app| file(app, std::slice::from_ref(&id), &[], &id, Form::Json)).await
}

pub(crate) async fn csv(
    State(handle): State<Handle>,
    _: Visitor,
    Path(id): Path<String>,
) -> Result<Response, Fault> {
    handle.run(move |app| file(app, std::slice::from_ref(&id), &[], &id, Form::Csv)).await
}
