//! All walks in a line each, worked out once for so many records.

use crate::app::App;
use crate::fault::Fault;
use crate::store::Store;
use journal::ChainSummary;
use records::Walked;
use std::sync::Arc;
use walk::FieldRemark;

/// All walks, the newest first. A walk that cannot be read is a fault: whoever asks for all must not miss one unawares.
pub(crate) fn all(app: &App) -> Result<Vec<Walked>, Fault> {
    let chains = app.store().journal.chains()?;
    // The lock is given up between walks: a long list must not hold up answers.
    chains.iter().rev().map(|chain| Ok(app.store().walked(chain)?)).collect()
}

/// All walks that can be read, the newest first, and the names of those that cannot: one damaged record must not take the
/// others away from people who work.
pub(crate) fn readable(app: &App) -> Result<(Vec<Walked>, Vec<String>), Fault> {
    let chains = app.store().journal.chains()?;
    let (mut walks, mut unreadable) = (Vec::new(), Vec::new());
    for chain in chains.iter().rev() {
        let walked = app.store().walked(chain);
        match walked {
            Ok(walk) => walks.push(walk),
            Err(walk::Error::Journal(error)) => return Err(error.into()),
            Err(error) => {
                (app.log)(&format!("{}: {error}", chain.id));
                unreadable.push(chain.id.clone());
            }
        }
    }
    Ok((walks, unreadable))
}

impl Store {
    /// A walk in a line.
    pub(crate) fn walked(&mut self, chain: &ChainSummary) -> Result<Walked, walk::Error> {
        if let Some(known) = self.lines.get(&chain.id).filter(|known| known.records == chain.len) {
            return Ok(known.clone());
        }
        let line = records::walked(&self.journal, chain)?;
        self.lines.insert(chain.id.clone(), line.clone());
        Ok(line)
    }

    /// What a walk tells of its steps; worked out once for so many records.
    pub(crate) fn remarks(&mut self, walk: &str, records: u64) -> Result<Arc<[FieldRemark]>, Fault> {
        if let Some((_, known)) = self.remarks.get(walk).filter(|(count, _)| *count == records) {
            return Ok(Arc::clone(known));
        }
        let events = walk::events(&self.journal, walk)?;
        let remarks: Arc<[FieldRemark]> = walk::field_remarks(events.iter().map(|(_, event)| event)).into();
        self.remarks.insert(walk.to_owned(), (records, Arc::clone(&remarks)));
        Ok(remarks)
    }
}
