//! Whether the records hold together.

use crate::fault::Fault;
use crate::handle::Handle;
use crate::render;
use crate::visitor::Visitor;
use crate::walked::verify;
use axum::extract::State;
use axum::response::Response;
use minijinja::context;

pub(crate) async fn show(State(handle): State<Handle>, visitor: Visitor) -> Result<Response, Fault> {
    handle
        .run(move |app| {
            let journal = app.journal()?;
            let head = journal.head()?;
            let fault = records::not_intact(&journal)?;
            if fault.is_some() {
                // What is found here is told wherever walks are listed.
                verify(app)?;
            }
            let values = context! {
                fault,
                records => head.len,
                head => head.hash.to_string(),
            };
            render::page("verify.html", Some(&visitor), app.lock_ms, values)
        })
        .await
}
