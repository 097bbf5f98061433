//! The machines: what is due on each, and which are out of service.

use crate::app::App;
use crate::document_store::Documents;
use crate::fault::Fault;
use crate::handle::Handle;
use crate::lines::Readable;
use crate::render;
use crate::visitor::Visitor;
use crate::walked::readable;
use axum::extract::{Query, State};
use axum::http::header;
use axum::response::{IntoResponse as _, Response};
use minijinja::context;
use minijinja::value::{Serde, Value};
use records::{Damaged, Due, Item, NoCalendar, Walked, due};
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use walk::Walk;

/// Which machines are wanted. Every field that is given must fit.
#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(default)]
pub(crate) struct MachineFilter {
    equipment: String,
    serial: String,
    /// `due`, `out`, or everything.
    state: String,
}

impl MachineFilter {
    fn fits(&self, equipment: &str, serial: &str) -> bool {
        (self.equipment.is_empty() || self.equipment == equipment)
            && (self.serial.is_empty() || serial.to_lowercase().contains(&self.serial.trim().to_lowercase()))
    }

    fn select(&self, due: Due) -> Due {
        let item = |item: &Item| {
            self.fits(&item.equipment, &item.serial)
                && (self.state.is_empty() || self.state == "due" && item.is_due)
        };
        Due {
            items: due.items.into_iter().filter(item).collect(),
            out: due
                .out
                .into_iter()
                .filter(|out| self.state != "due" && self.fits(&out.equipment, &out.serial))
                .collect(),
            unlisted: due
                .unlisted
                .into_iter()
                .filter(|(equipment, serial, _)| self.state.is_empty() && self.fits(equipment, serial))
                .collect(),
        }
    }
}

/// What is due today by these walks.
fn today(walks: &[Walked], documents: &Documents) -> Due {
    due(documents.register(), documents.zone(), walks, documents.today())
}

/// The serial numbers of an equipment.
pub(crate) fn serials(documents: &Documents, equipment: &str) -> Vec<String> {
    let fleet = documents.register().and_then(|register| register.register.get(equipment));
    fleet.map(|fleet| fleet.serials.keys().cloned().collect()).unwrap_or_default()
}

/// The machines of an equipment that are out of service, and the walks that are damaged and may tell of more.
pub(crate) fn out_of_service(
    app: &App,
    documents: &Documents,
    equipment: &str,
) -> Result<(Vec<String>, Arc<Vec<Damaged>>), Fault> {
    let Readable { walks, damaged } = readable(app)?;
    let (register, zone, on) = (documents.register(), documents.zone(), documents.today());
    Ok((records::out_of_service(register, zone, &walks, on, equipment, None), damaged))
}

/// What whoever walks has to know of the machine, a sentence each: that it is out of service, that the register does
/// not list it, and which walks are damaged and may tell of more.
fn told(app: &App, equipment: &str, serial: &str) -> Result<Vec<String>, Fault> {
    let documents = app.documents();
    let Readable { walks, damaged } = readable(app)?;
    let (register, zone, on) = (documents.register(), documents.zone(), documents.today());
    let notices = records::machine_notices(register, zone, &walks, &damaged, on, equipment, serial);
    let unread = documents.unread_register.iter().cloned();
    Ok(unread.chain(notices.iter().map(ToString::to_string)).collect())
}

/// What whoever goes on with a walk has to know of its machine; nothing once the walk has ended. No lock of a walk may be
/// held, as all walks are looked at.
pub(crate) fn told_in(app: &App, walk: &Walk) -> Result<Vec<String>, Fault> {
    let begin = walk.begin();
    if walk.status().is_ended() { Ok(Vec::new()) } else { told(app, &begin.equipment, &begin.serial) }
}

pub(crate) async fn show(
    State(handle): State<Handle>,
    visitor: Visitor,
    Query(wanted): Query<MachineFilter>,
) -> Result<Response, Fault> {
    handle
        .run(move |app| {
            let documents = app.documents();
            let Readable { walks, damaged } = readable(app)?;
            let (due, fault) = match &documents.register {
                Ok(_) => (wanted.select(today(&walks, &documents)), None),
                Err(fault) => (Due::default(), Some(fault)),
            };
            let fleets = documents.register().into_iter().flat_map(|register| register.register.keys());
            let equipment: Vec<String> = fleets.map(ToString::to_string).collect();
            let values = context! {
                is_empty => equipment.is_empty() && due.out.is_empty(),
                equipment,
                wanted => Value::from(Serde(&wanted)),
                due => Value::from(Serde(&due)),
                dated => due.items.iter().any(|item| item.on.is_some()),
                fault,
                unread_register => documents.unread_register.as_deref().filter(|_| documents.register.is_ok()),
                unreadable => Value::from(Serde(&*damaged)),
                in_utc => !documents.has_zone(),
            };
            render::page("machines.html", Some(&visitor), app.lock_ms, values)
        })
        .await
}

pub(crate) async fn calendar(
    State(handle): State<Handle>,
    _: Visitor,
    Query(wanted): Query<MachineFilter>,
) -> Result<Response, Fault> {
    handle
        .run(move |app| {
            let documents = app.documents();
            documents.register.as_ref().map_err(|fault| Fault::Unusable(fault.clone()))?;
            let Readable { walks, damaged } = readable(app)?;
            let due = today(&walks, &documents);
            let title = |procedure: &str| {
                let document = documents.library().procedures.get(procedure);
                document.map_or_else(|| procedure.to_owned(), |document| document.model.title.clone())
            };
            let file = records::calendar(&wanted.select(due), &damaged, title).map_err(|why| match why {
                NoCalendar::Empty => Fault::NotThere,
                NoCalendar::Incomplete(why) => why.into(),
            })?;
            let headers = [
                (header::CONTENT_TYPE, "text/calendar; charset=utf-8"),
                (header::CONTENT_DISPOSITION, "attachment; filename=\"due.ics\""),
            ];
            Ok((headers, file).into_response())
        })
        .await
}
