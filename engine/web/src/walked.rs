//! All walks, for whoever asks for them.

use crate::app::App;
use crate::fault::Fault;
use crate::handle::Handle;
use crate::lines::Readable;
use crate::requests::{fields, from_query};
use axum::extract::FromRequestParts;
use axum::http::request::Parts;
use records::{Damaged, Filter};

/// Which walks are wanted, as a query says it.
pub(crate) struct Wanted(pub(crate) Filter);

impl FromRequestParts<Handle> for Wanted {
    type Rejection = Fault;

    async fn from_request_parts(parts: &mut Parts, _: &Handle) -> Result<Self, Fault> {
        let filter = from_query(&fields(parts.uri.query().unwrap_or_default().as_bytes())?)?;
        Ok(Self(filter))
    }
}

/// All walks: one damaged record must not take the others away from people who work.
pub(crate) fn readable(app: &App) -> Result<Readable, Fault> {
    let (all, is_new) = app.lines().now(app.records(), app.zone())?;
    if is_new {
        tell(app, &all.damaged);
    }
    Ok(all)
}

fn tell(app: &App, damaged: &[Damaged]) {
    damaged.iter().for_each(|Damaged { walk, why, machine: _ }| (app.log)(&format!("{walk}: {why}")));
}

/// Computes every hash of every walk anew, as lists of many walks do not, and has those that are damaged told as such.
pub(crate) fn verify(app: &App) -> Result<(), Fault> {
    let journal = app.journal()?;
    let ids = readable(app)?.walks.iter().map(|walk| walk.id.clone()).collect();
    let damaged = records::damaged_among(&journal, ids)?;
    tell(app, &damaged);
    app.lines().found(damaged);
    Ok(())
}
