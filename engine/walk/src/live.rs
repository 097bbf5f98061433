//! A walk with its journal: an event is on disk before it counts.

use crate::event::{Begin, Event, FORMAT};
use crate::inputs::{Input, Refusal};
use crate::prompt::Prompt;
use crate::state::Walk;
use document::model::Name;
use document::{InputFile, Severity};
use journal::{Journal, Verification};
use std::fmt;

/// Why a walk cannot begin, go on or be read.
#[derive(Debug)]
pub enum Error {
    /// The input is not taken; nothing was recorded.
    Refused(Refusal),
    /// The journal failed; what was acknowledged is still there.
    Journal(journal::Error),
    /// The documents have errors, so that nothing may be walked by them.
    Unsound(String),
    /// A record cannot be read.
    Record {
        /// Its number in the walk.
        seq: u64,
        /// What is wrong.
        what: String,
    },
    /// The chain of the walk's records is broken.
    Broken(String),
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Refused(refusal) => refusal.fmt(f),
            Self::Journal(error) => error.fmt(f),
            Self::Unsound(why) => write!(f, "the walk cannot go by these documents: {why}"),
            Self::Record { seq, what } => write!(f, "record {seq} of the walk cannot be read: {what}"),
            Self::Broken(what) => write!(f, "the walk's records do not hold together: {what}"),
        }
    }
}

impl std::error::Error for Error {}

impl From<journal::Error> for Error {
    fn from(error: journal::Error) -> Self {
        Self::Journal(error)
    }
}

/// A walk under way.
pub struct LiveWalk<'j> {
    id: String,
    len: u64,
    journal: &'j mut Journal,
    walk: Walk,
}

/// Begins a walk under a name that no other walk has.
///
/// # Errors
/// If the documents have errors or the journal fails.
pub fn begin<'j>(
    journal: &'j mut Journal,
    id: &str,
    begin: Begin,
    at_ms: i64,
) -> Result<LiveWalk<'j>, Error> {
    let walk = walk_by(begin.clone(), at_ms)?;
    journal.begin(id, &write(&Event::Begin(Box::new(begin)))?, at_ms)?;
    let mut live = LiveWalk { id: id.to_owned(), len: 1, journal, walk };
    live.start_due_timer(at_ms)?;
    Ok(live)
}

/// Takes up a walk where its records end. The caller then gives [`Input::Resume`]: until then nothing is asked.
///
/// # Errors
/// If there is no such walk, its records do not hold together, or the journal fails.
pub fn resume<'j>(journal: &'j mut Journal, id: &str) -> Result<LiveWalk<'j>, Error> {
    if let Verification::Broken(fault) = journal.verify_chain(id)? {
        return Err(Error::Broken(fault.to_string()));
    }
    let (walk, len) = folded(journal, id)?;
    Ok(LiveWalk { id: id.to_owned(), len, journal, walk })
}

/// A walk as its records leave it, for reading.
///
/// # Errors
/// If there is no such walk, a record cannot be read, or the journal fails.
pub fn fold(journal: &Journal, id: &str) -> Result<Walk, Error> {
    Ok(folded(journal, id)?.0)
}

fn folded(journal: &Journal, id: &str) -> Result<(Walk, u64), Error> {
    let mut events = events(journal, id)?.into_iter();
    let Some((at_ms, Event::Begin(begin))) = events.next() else {
        return Err(Error::Record { seq: 0, what: "it is not the beginning of a walk".to_owned() });
    };
    let mut walk = walk_by(*begin, at_ms)?;
    let mut len = 1;
    for (at_ms, event) in events {
        walk.apply(&event, at_ms);
        len += 1;
    }
    Ok((walk, len))
}

/// All events of a walk with their times, in order.
///
/// # Errors
/// If there is no such walk, a record cannot be read, or the journal fails.
pub fn events(journal: &Journal, id: &str) -> Result<Vec<(i64, Event)>, Error> {
    let records = journal.records(id)?;
    records
        .into_iter()
        .map(|record| {
            let event = serde_json::from_str(&record.payload)
                .map_err(|error| Error::Record { seq: record.seq, what: error.to_string() })?;
            Ok((record.at_ms, event))
        })
        .collect()
}

impl LiveWalk<'_> {
    /// The walk as it stands.
    #[must_use]
    pub fn walk(&self) -> &Walk {
        &self.walk
    }

    /// The walk's name in the journal.
    #[must_use]
    pub fn id(&self) -> &str {
        &self.id
    }

    /// What is asked now.
    #[must_use]
    pub fn prompt(&self) -> Prompt {
        self.walk.prompt()
    }

    /// Takes an input: it is refused with the reason, or on disk before this returns.
    ///
    /// # Errors
    /// [`Error::Refused`] if the input is not taken; otherwise the journal's.
    pub fn answer(&mut self, input: &Input, now_ms: i64) -> Result<Event, Error> {
        let event = self.walk.accept(input, now_ms).map_err(Error::Refused)?;
        self.record(&event, now_ms)?;
        self.start_due_timer(now_ms)?;
        Ok(event)
    }

    /// A wait starts, on the record, as soon as the walk comes to it.
    fn start_due_timer(&mut self, now_ms: i64) -> Result<(), Error> {
        let due = match self.walk.prompt() {
            Prompt::Wait(timer) | Prompt::Settle { timer, .. } => timer.since_ms.is_none(),
            _ => false,
        };
        if due && let Ok(event) = self.walk.accept(&Input::StartTimer, now_ms) {
            self.record(&event, now_ms)?;
        }
        Ok(())
    }

    fn record(&mut self, event: &Event, now_ms: i64) -> Result<(), Error> {
        self.journal.append(&self.id, self.len, &write(event)?, now_ms)?;
        self.len += 1;
        self.walk.apply(event, now_ms);
        Ok(())
    }
}

fn write(event: &Event) -> Result<String, Error> {
    serde_json::to_string(event).map_err(|error| Error::Record { seq: 0, what: error.to_string() })
}

fn walk_by(begin: Begin, at_ms: i64) -> Result<Walk, Error> {
    if begin.format != FORMAT {
        return Err(Error::Unsound(format!(
            "its record format is {}, this program reads {FORMAT}",
            begin.format
        )));
    }
    let files: Vec<InputFile> = begin
        .documents
        .iter()
        .map(|document| InputFile { name: document.name.clone(), bytes: document.text.clone().into_bytes() })
        .collect();
    let reading = document::read(&files);
    if let Some(fault) = reading.findings.iter().find(|finding| finding.severity == Severity::Error) {
        return Err(Error::Unsound(fault.message.clone()));
    }
    let procedure = Name::from(begin.procedure.as_str());
    let machine =
        machine::compile(&reading.library, &procedure).map_err(|error| Error::Unsound(error.to_string()))?;
    Ok(Walk::new(begin, reading.library, machine, at_ms))
}
