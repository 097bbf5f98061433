//! What can be walked, and the walks under way.

use crate::fault::Fault;
use crate::handle::Handle;
use crate::render;
use crate::visitor::Visitor;
use crate::walked::readable;
use axum::extract::State;
use axum::response::Response;
use minijinja::context;
use minijinja::value::{Serde, Value};
use records::Walked;
use serde::Serialize;

/// A procedure that can be chosen.
#[derive(Serialize)]
struct Choice {
    name: String,
    title: String,
    equipment: String,
    revision: u32,
    time: String,
    /// How it stands, in words.
    standing: &'static str,
    /// Why it is not proved; none where it is.
    not_proved: Option<String>,
    /// Whether it is only performed by others.
    not_by_hand: bool,
}

pub(crate) async fn show(State(handle): State<Handle>, visitor: Visitor) -> Result<Response, Fault> {
    handle
        .run(move |app| {
            let documents = app.documents();
            let library = documents.library();
            let choices: Vec<Choice> = library
                .procedures
                .iter()
                .map(|(name, document)| -> Result<Choice, Fault> {
                    let equipment = library.equipment.get(&document.model.equipment);
                    Ok(Choice {
                        standing: app.status(&documents, name)?.word(),
                        name: name.to_string(),
                        title: document.model.title.clone(),
                        equipment: equipment
                            .map_or_else(String::new, |equipment| equipment.model.title.clone()),
                        revision: document.model.revision,
                        time: document.model.time.text().to_owned(),
                        not_proved: documents.not_proved(name).map(str::to_owned),
                        not_by_hand: documents.not_by_hand(name).is_some(),
                    })
                })
                .collect::<Result<_, _>>()?;
            let (walks, unreadable) = readable(app)?;
            let open: Vec<Walked> = walks.into_iter().filter(|walk| !walk.ended).collect();
            let values = context! {
                told => app.documents.notice(),
                choices => Value::from(Serde(&choices)),
                open => Value::from(Serde(&open)),
                unreadable => Value::from(Serde(&unreadable)),
            };
            render::page("home.html", Some(&visitor), app.lock_ms, values)
        })
        .await
}
