//! All walks in a line each, worked out once for so many records.

use crate::app::App;
use crate::fault::Fault;
use crate::store::Store;
use journal::ChainSummary;
use records::Walked;

/// All walks, the newest first.
pub(crate) fn all(app: &App) -> Result<Vec<Walked>, Fault> {
    let chains = app.store().journal.chains()?;
    // The lock is given up between walks: a long list must not hold up answers.
    chains.iter().rev().map(|chain| app.store().walked(chain)).collect()
}

impl Store {
    /// A walk in a line.
    pub(crate) fn walked(&mut self, chain: &ChainSummary) -> Result<Walked, Fault> {
        if let Some(known) = self.lines.get(&chain.id).filter(|known| known.records == chain.len) {
            return Ok(known.clone());
        }
        let line = records::walked(&self.journal, chain)?;
        self.lines.insert(chain.id.clone(), line.clone());
        Ok(line)
    }
}
