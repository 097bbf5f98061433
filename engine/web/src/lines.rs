//! All walks in a line each, kept in memory and brought up to date by what was recorded since.

use document::Zone;
use journal::Journal;
use records::{Damaged, Walked};
use std::collections::HashMap;
use std::path::Path;
use std::sync::Arc;

/// All walks, as of one moment.
#[derive(Clone, Default)]
pub(crate) struct Readable {
    /// Those that can be relied on, in the order in which they were begun.
    pub(crate) walks: Arc<Vec<Walked>>,
    /// Those that are damaged.
    pub(crate) damaged: Arc<Vec<Damaged>>,
}

/// What is kept of all walks between two requests.
#[derive(Default)]
pub(crate) struct Lines {
    /// A connection of their own; none before the first request.
    journal: Option<Journal>,
    /// By which days were judged.
    zone: Option<Zone>,
    /// So many records of the whole file are reckoned with.
    records: u64,
    all: Readable,
    places: HashMap<String, usize>,
}

impl Lines {
    /// All walks as they stand now, and whether it is new which of them are damaged.
    pub(crate) fn now(&mut self, file: &Path, zone: Zone) -> Result<(Readable, bool), journal::Error> {
        let journal = match self.journal.take() {
            Some(journal) => journal,
            None => Journal::open_existing(file)?,
        };
        let found = self.brought_up(&journal, zone);
        self.journal = Some(journal);
        Ok((self.all.clone(), found?))
    }

    fn brought_up(&mut self, journal: &Journal, zone: Zone) -> Result<bool, journal::Error> {
        // What comes on record meanwhile is read once more.
        let records = journal.head()?.len;
        let is_same_zone = self.zone == Some(zone);
        if is_same_zone && records == self.records {
            return Ok(false);
        }
        let since = if is_same_zone && records > self.records {
            records::walked_since(journal, self.records, zone)?
        } else {
            None
        };
        let is_found = match since {
            Some((walks, damaged)) => {
                walks.into_iter().for_each(|walk| self.put(walk));
                self.found(damaged)
            }
            None => {
                let (walks, damaged) = records::walked(journal, zone)?;
                self.places = walks.iter().enumerate().map(|(at, walk)| (walk.id.clone(), at)).collect();
                let is_new = *self.all.damaged != damaged;
                self.all = Readable { walks: Arc::new(walks), damaged: Arc::new(damaged) };
                is_new
            }
        };
        (self.records, self.zone) = (records, Some(zone));
        Ok(is_found)
    }

    fn put(&mut self, walk: Walked) {
        if self.all.damaged.iter().any(|damaged| damaged.walk == walk.id) {
            return;
        }
        let walks = Arc::make_mut(&mut self.all.walks);
        if let Some(at) = self.places.get(&walk.id) {
            walks[*at] = walk;
            return;
        }
        self.places.insert(walk.id.clone(), walks.len());
        walks.push(walk);
    }

    /// Takes out walks that are found to be damaged. Whether there are any.
    pub(crate) fn found(&mut self, damaged: Vec<Damaged>) -> bool {
        if damaged.is_empty() {
            return false;
        }
        let is_damaged = |walk: &Walked| damaged.iter().any(|one| one.walk == walk.id);
        let walks = Arc::make_mut(&mut self.all.walks);
        walks.retain(|walk| !is_damaged(walk));
        self.places = walks.iter().enumerate().map(|(at, walk)| (walk.id.clone(), at)).collect();
        let all = Arc::make_mut(&mut self.all.damaged);
        all.retain(|one| damaged.iter().all(|other| other.walk != one.walk));
        all.extend(damaged);
        true
    }
}
