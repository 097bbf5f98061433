//! Whether the records hold together.

use crate::app::{App, work};
use crate::fault::Fault;
use crate::fields::Visitor;
use crate::render;
use axum::extract::State;
use axum::response::Response;
use journal::Verification;
use minijinja::context;
use std::sync::Arc;

pub(crate) async fn show(State(app): State<Arc<App>>, visitor: Visitor) -> Result<Response, Fault> {
    work(&app, move |app| {
        let store = app.store();
        let verification = store.journal.verify()?;
        let head = store.journal.head()?;
        drop(store);
        let values = context! {
            fault => if let Verification::Broken(fault) = &verification { Some(fault.to_string()) } else { None },
            records => head.len,
            head => head.hash.to_string(),
        };
        render::page("verify.html", Some(&visitor), app.lock_ms, values)
    })
    .await
}
