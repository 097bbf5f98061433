//! Records of walks as they are written.

use crate::error::Error;
use crate::event::{Begin, DocumentText, Event};
use journal::{Record, Storage};
use serde::{Deserialize, Serialize};

/// A record as it is written.
#[derive(Serialize, Deserialize)]
pub(crate) struct Entry {
    #[serde(flatten)]
    pub(crate) event: Event,
    /// The key of the answer it came from, where one was given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) key: Option<String>,
    /// Of a beginning, the documents that are kept beside the records.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    kept: Vec<KeptDocument>,
}

/// A document that is kept under its hash.
#[derive(Serialize, Deserialize)]
struct KeptDocument {
    name: String,
    sha256: String,
}

/// An event as it is written.
pub(crate) fn written(event: &Event, key: Option<&str>) -> Result<String, Error> {
    text(&Entry { event: event.clone(), key: key.map(str::to_owned), kept: Vec::new() })
}

/// A beginning as it is written; its documents are kept beside the records.
pub(crate) fn begun(journal: &mut dyn Storage, mut begin: Begin, key: Option<&str>) -> Result<String, Error> {
    let mut kept = Vec::new();
    for DocumentText { name, text } in std::mem::take(&mut begin.documents) {
        kept.push(KeptDocument { name, sha256: journal.keep(text.as_bytes())?.to_string() });
    }
    text(&Entry { event: Event::Begin(Box::new(begin)), key: key.map(str::to_owned), kept })
}

fn text(entry: &Entry) -> Result<String, Error> {
    serde_json::to_string(entry).map_err(|error| Error::Record { seq: 0, what: error.to_string() })
}

/// All records of a walk with their times, in order; how it began comes with its documents.
pub(crate) fn all(journal: &dyn Storage, id: &str) -> Result<Vec<(i64, Entry)>, Error> {
    let records = journal.records(id)?;
    records.into_iter().map(|record| Ok((record.at_ms, read(journal, &record)?))).collect()
}

fn read(journal: &dyn Storage, record: &Record) -> Result<Entry, Error> {
    let wrong = |what: String| Error::Record { seq: record.seq, what };
    let mut entry: Entry = serde_json::from_str(&record.payload).map_err(|error| wrong(error.to_string()))?;
    for KeptDocument { name, sha256 } in std::mem::take(&mut entry.kept) {
        let Event::Begin(begin) = &mut entry.event else { continue };
        let bytes = kept(journal, &sha256)?;
        let text = bytes.and_then(|bytes| String::from_utf8(bytes).ok());
        let missing = || wrong(format!("its document `{name}` is not kept any more, or was changed"));
        let text = text.ok_or_else(missing)?;
        begin.documents.push(DocumentText { name, text });
    }
    Ok(entry)
}

/// The first record of a walk, though later ones cannot be read, without the documents that are kept beside it; nothing where that
/// cannot be read either.
pub(crate) fn first(journal: &dyn Storage, id: &str) -> Option<Entry> {
    serde_json::from_str(&journal.first_record(id).ok()?.payload).ok()
}

impl Entry {
    /// The hashes of the documents that are kept beside it.
    pub(crate) fn names(&self) -> impl Iterator<Item = &str> {
        self.kept.iter().map(|document| &*document.sha256)
    }
}

/// What is kept under a hash. What is no hash names nothing that was kept, and what was changed is not what was kept.
pub(crate) fn kept(journal: &dyn Storage, hash: &str) -> Result<Option<Vec<u8>>, Error> {
    match hash.parse().ok().map(|hash| journal.kept(&hash)).transpose() {
        Ok(kept) => Ok(kept.flatten()),
        Err(journal::Error::Corrupt { .. }) => Ok(None),
        Err(error) => Err(error.into()),
    }
}
