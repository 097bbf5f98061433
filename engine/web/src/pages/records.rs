//! The list of walks, and which are wanted.

use crate::fault::Fault;
use crate::handle::Handle;
use crate::lines::Readable;
use crate::render;
use crate::visitor::Visitor;
use crate::walked::{Wanted, readable};
use axum::extract::State;
use axum::response::Response;
use minijinja::context;
use minijinja::value::{Serde, Value};
use records::{STATUSES, Walked};

/// So many walks stand on one page.
const SHOWN_MAX: usize = 200;

pub(crate) async fn show(
    State(handle): State<Handle>,
    visitor: Visitor,
    Wanted(filter): Wanted,
) -> Result<Response, Fault> {
    handle
        .run(move |app| {
            let Readable { walks, damaged } = readable(app)?;
            // The newest first.
            let fitting: Vec<&Walked> = walks.iter().rev().filter(|walk| filter.fits(walk)).collect();
            let total = fitting.len();
            let walks = &fitting[..total.min(SHOWN_MAX)];
            let mut procedures: Vec<String> =
                app.documents().library().procedures.keys().map(|name| name.to_string()).collect();
            procedures.sort();
            let values = context! {
                filter => Value::from(Serde(&filter)),
                walks => Value::from(Serde(walks)),
                unreadable => Value::from(Serde(&*damaged)),
                total,
                shown => walks.len(),
                procedures,
                standings => STATUSES,
            };
            render::page("records.html", Some(&visitor), app.lock_ms, values)
        })
        .await
}
