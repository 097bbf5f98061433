//! Every procedure with its standing, its last walks and what came back from the field.

use crate::fault::Fault;
use crate::handle::Handle;
use crate::render;
use crate::visitor::Visitor;
use crate::walked::{readable, remarks};
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
            let (walks, unreadable) = readable(app)?;
            let told = walks.iter().map(|walk| Ok((walk, remarks(app, &walk.id, walk.records)?.to_vec())));
            let field = records::field(told.collect::<Result<Vec<_>, Fault>>()?).into_iter();
            let field =
                field.map(|(name, FieldLines { walks, steps })| (name, Field { walks, steps })).collect();
            let sheet =
                app.reviews.library(documents.report(), documents.today(), field).map_err(Fault::Unusable)?;
            let body = card::sheet::fragment(&sheet)?;
            render::page(
                "library.html",
                Some(&visitor),
                app.lock_ms,
                context! { body, unreadable => Value::from(Serde(&unreadable)), in_utc => !documents.has_zone() },
            )
        })
        .await
}
