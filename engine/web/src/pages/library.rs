//! Every procedure with its standing, its last walks and what came back from the field.

use crate::fault::Fault;
use crate::fields::Visitor;
use crate::handle::Handle;
use crate::render;
use crate::walked::{readable, remarks};
use axum::extract::State;
use axum::response::Response;
use minijinja::context;
use review::pages::Field;
use std::collections::BTreeMap;

pub(crate) async fn show(State(handle): State<Handle>, visitor: Visitor) -> Result<Response, Fault> {
    handle
        .run(move |app| {
            let documents = app.documents();
            let mut field: BTreeMap<String, Field> = BTreeMap::new();
            let (walks, unreadable) = readable(app)?;
            for walk in walks {
                let one = field.entry(walk.procedure.clone()).or_default();
                let training = if walk.training { ", training" } else { "" };
                one.walks.push(format!(
                    "{}: {}, {}, {}{training}",
                    walk.begun, walk.person, walk.serial, walk.standing
                ));
                for remark in remarks(app, &walk.id, walk.records)?.iter() {
                    one.steps.entry(remark.step.clone()).or_default().push(remark.text.clone());
                }
            }
            let sheet =
                app.reviews.library(&documents.report, documents.today(), field).map_err(Fault::Ours)?;
            let body = card::sheet::fragment(&sheet)?;
            render::page(
                "library.html",
                Some(&visitor),
                app.lock_ms,
                context! { body, unreadable, in_utc => !documents.has_zone() },
            )
        })
        .await
}
