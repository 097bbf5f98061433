//! Every procedure with its standing, its last walks and what came back from the field.

use crate::fault::Fault;
use crate::handle::Handle;
use crate::render;
use crate::visitor::Visitor;
use axum::extract::State;
use axum::response::Response;
use minijinja::context;
use minijinja::value::{Serde, Value};
use records::FieldLines;
use review::pages::Field;

pub(crate) async fn show(State(handle): State<Handle>, visitor: Visitor) -> Result<Response, Fault> {
    handle
        .run(move |app| {
            let documents = app.documents();
            let (walks, damaged) = records::walked_with_remarks(&app.journal()?, documents.zone())?;
            // The newest first.
            let told = walks.iter().rev().map(|(walk, remarks)| (walk, remarks.clone()));
            let field = records::field(told).into_iter();
            let field =
                field.map(|(name, FieldLines { walks, steps })| (name, Field { walks, steps })).collect();
            let sheet =
                app.reviews.library(documents.report(), documents.today(), field).map_err(Fault::Unusable)?;
            let body = card::sheet::fragment(&sheet)?;
            render::page(
                "library.html",
                Some(&visitor),
                app.lock_ms,
                context! { body, unreadable => Value::from(Serde(&damaged)), in_utc => !documents.has_zone() },
            )
        })
        .await
}
