//! All walks in a line each, worked out once for so many records.

use crate::app::App;
use crate::fault::Fault;
use crate::handle::Handle;
use crate::requests::{fields, from_query};
use axum::extract::FromRequestParts;
use axum::http::request::Parts;
use document::Zone;
use journal::{ChainSummary, Journal};
use records::{Damaged, Filter, Walked};
use std::sync::Arc;
use walk::FieldRemark;

/// Which walks are wanted, as a query says it.
pub(crate) struct Wanted(pub(crate) Filter);

impl FromRequestParts<Handle> for Wanted {
    type Rejection = Fault;

    async fn from_request_parts(parts: &mut Parts, _: &Handle) -> Result<Self, Fault> {
        let filter = from_query(&fields(parts.uri.query().unwrap_or_default().as_bytes())?)?;
        Ok(Self(filter))
    }
}

/// All walks that can be relied on, the newest first, and those that are damaged: one damaged record must not take the
/// others away from people who work.
pub(crate) fn readable(app: &App) -> Result<(Vec<Walked>, Vec<Damaged>), Fault> {
    let (journal, zone) = (app.journal()?, app.zone());
    let chains = journal.chains()?;
    let read = records::readable(&journal, chains.iter().rev(), |chain| walked(app, zone, &journal, chain))?;
    read.1.iter().for_each(|Damaged { walk, why, machine: _ }| (app.log)(&format!("{walk}: {why}")));
    Ok(read)
}

/// A walk in a line; its chain is verified once for so many records. Only what is known of it is looked up under the store's
/// lock.
fn walked(app: &App, zone: Zone, journal: &Journal, chain: &ChainSummary) -> Result<Walked, walk::Error> {
    let is_same = |(of, known): &&(Zone, Walked)| *of == zone && known.records == chain.len;
    if let Some((_, known)) = app.store().lines.get(&chain.id).filter(is_same) {
        return Ok(known.clone());
    }
    let line = records::walked(journal, chain, zone)?;
    app.store().lines.insert(chain.id.clone(), (zone, line.clone()));
    Ok(line)
}

/// What a walk tells of its steps; worked out once for so many records.
pub(crate) fn remarks(app: &App, walk: &str, records: u64) -> Result<Arc<[FieldRemark]>, Fault> {
    if let Some((_, known)) = app.store().remarks.get(walk).filter(|(count, _)| *count == records) {
        return Ok(Arc::clone(known));
    }
    let events = walk::events(&app.journal()?, walk)?;
    let remarks: Arc<[FieldRemark]> = walk::field_remarks(events.iter().map(|(_, event)| event)).into();
    app.store().remarks.insert(walk.to_owned(), (records, Arc::clone(&remarks)));
    Ok(remarks)
}
