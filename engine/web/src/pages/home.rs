//! What can be walked, and the walks under way.

use crate::app::App;
use crate::fault::Fault;
use crate::handle::Handle;
use crate::lines::Readable;
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
    /// Whether that is known by now.
    is_judged: bool,
    /// Whether it is only performed by others.
    not_by_hand: bool,
}

/// What of the files as they stand is not in force.
fn told(app: &App) -> Option<String> {
    let all: Vec<String> = app.documents.notice().into_iter().chain(app.reviews.unread()).collect();
    (!all.is_empty()).then(|| all.join(" "))
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
                        not_proved: documents.not_proved(name),
                        is_judged: documents.is_judged(name),
                        not_by_hand: documents.not_by_hand(name).is_some(),
                    })
                })
                .collect::<Result<_, _>>()?;
            let Readable { walks, damaged } = readable(app)?;
            // The newest first.
            let open: Vec<&Walked> = walks.iter().rev().filter(|walk| !walk.ended).collect();
            let values = context! {
                told => told(app),
                choices => Value::from(Serde(&choices)),
                open => Value::from(Serde(&open)),
                unreadable => Value::from(Serde(&*damaged)),
            };
            render::page("home.html", Some(&visitor), app.lock_ms, values)
        })
        .await
}
