//! Records for other programs: one array of JSON, or one line a record.

use crate::damage::{Damaged, intact};
use crate::time::time;
use card::csv::line;
use journal::Storage;
#[cfg(feature = "schema")]
use schemars::{Schema, SchemaGenerator, json_schema};
use serde::ser::{Error as _, SerializeSeq as _};
use serde::{Serialize, Serializer};
use std::cell::RefCell;
use std::{fmt, io};

/// One record for other programs.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Exported {
    walk: String,
    seq: u64,
    #[cfg_attr(feature = "schema", schemars(extend("format" = "date-time")))]
    at: String,
    #[cfg_attr(feature = "schema", schemars(regex(pattern = "^[0-9a-f]{64}$")))]
    previous: String,
    #[cfg_attr(feature = "schema", schemars(regex(pattern = "^[0-9a-f]{64}$")))]
    hash: String,
    #[serde(flatten)]
    #[cfg_attr(feature = "schema", schemars(schema_with = "event_schema"))]
    event: serde_json::Value,
}

/// An event says what it is; what else it holds depends on that.
#[cfg(feature = "schema")]
fn event_schema(_: &mut SchemaGenerator) -> Schema {
    json_schema!({ "type": "object", "required": ["event"], "properties": { "event": { "type": "string" } } })
}

/// All records of a walk, in order.
///
/// # Errors
/// If there is no such walk, a record cannot be read, the chain does not hold, or the journal fails: what goes to other
/// programs can be relied on.
pub fn rows(journal: &dyn Storage, walk: &str) -> Result<Vec<Exported>, walk::Error> {
    walk::check_chain(journal, walk)?;
    read(journal, walk)
}

fn read(journal: &dyn Storage, walk: &str) -> Result<Vec<Exported>, walk::Error> {
    let records = journal.records(walk)?;
    records
        .into_iter()
        .map(|record| {
            Ok(Exported {
                walk: walk.to_owned(),
                seq: record.seq,
                at: time(record.at_ms),
                previous: record.previous.to_string(),
                hash: record.hash.to_string(),
                event: serde_json::from_str(&record.payload)
                    .map_err(|error| walk::Error::Record { seq: record.seq, what: error.to_string() })?,
            })
        })
        .collect()
}

/// What is exported: the walks that can be relied on, and those that are damaged, each named in the place of its records.
#[derive(Debug)]
pub struct Export {
    walks: Vec<String>,
    damaged: Vec<Damaged>,
}

/// Why an export ended before it was whole.
#[derive(Debug)]
pub enum NotExported {
    /// Records could not be read that could be a moment before, or the journal failed.
    Walk(walk::Error),
    /// What was exported could not be written.
    Write(io::Error),
}

impl fmt::Display for NotExported {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Walk(error) => error.fmt(f),
            Self::Write(error) => error.fmt(f),
        }
    }
}

impl std::error::Error for NotExported {}

impl From<walk::Error> for NotExported {
    fn from(error: walk::Error) -> Self {
        Self::Walk(error)
    }
}

impl From<io::Error> for NotExported {
    fn from(error: io::Error) -> Self {
        Self::Write(error)
    }
}

impl Export {
    /// Of one walk.
    ///
    /// # Errors
    /// If its chain does not hold, there is no such walk, or the journal fails.
    pub fn of(journal: &dyn Storage, walk: &str) -> Result<Self, walk::Error> {
        walk::check_chain(journal, walk)?;
        Ok(Self { walks: vec![walk.to_owned()], damaged: Vec::new() })
    }

    /// Of these walks; every hash of their chains is computed anew before anything is written. Others are known to be damaged.
    ///
    /// # Errors
    /// If the journal itself fails.
    pub fn of_all(
        journal: &dyn Storage,
        walks: Vec<String>,
        mut damaged: Vec<Damaged>,
    ) -> Result<Self, journal::Error> {
        let (walks, broken) = intact(journal, walks)?;
        damaged.extend(broken);
        Ok(Self { walks, damaged })
    }

    /// The walks that are damaged.
    #[must_use]
    pub fn damaged(&self) -> &[Damaged] {
        &self.damaged
    }

    /// One array of JSON: the walks that cannot be read, which have no records here, then the records of the others. One walk is read
    /// at a time.
    ///
    /// # Errors
    /// Where it ends before it is whole: then the array has no end.
    pub fn json(&self, journal: &dyn Storage, mut to: impl io::Write) -> Result<(), NotExported> {
        let fault = RefCell::new(None);
        let written = serde_json::to_writer_pretty(&mut to, &Lines { of: self, journal, fault: &fault });
        if let Some(error) = fault.into_inner() {
            return Err(NotExported::Walk(error));
        }
        written.map_err(|error| NotExported::Write(error.into()))?;
        Ok(to.write_all(b"\n")?)
    }

    /// RFC 4180, with the event's own fields as one JSON column; walks that cannot be read come first, each a line without
    /// a number, a time or a hash. Texts of documents, which older records hold, are left to the JSON form. One walk is read at a time.
    ///
    /// # Errors
    /// Where it ends before it is whole.
    pub fn csv(&self, journal: &dyn Storage, mut to: impl io::Write) -> Result<(), NotExported> {
        to.write_all(b"walk,seq,at,event,details,hash\r\n")?;
        for Missing { walk, event, why } in self.damaged.iter().map(Missing::new) {
            let (none, details) = (String::new, serde_json::json!({ "why": why }).to_string());
            let cells = [walk.to_owned(), none(), none(), event.to_owned(), details, none()];
            to.write_all(line(&cells).as_bytes())?;
        }
        for walk in &self.walks {
            for Exported { walk, seq, at, previous: _, hash, event: mut details } in read(journal, walk)? {
                let mut event = String::new();
                if let Some(map) = details.as_object_mut() {
                    map.remove("documents");
                    let named = map.remove("event");
                    event = named.and_then(|event| event.as_str().map(str::to_owned)).unwrap_or_default();
                }
                let cells = [walk, seq.to_string(), at, event, details.to_string(), hash];
                to.write_all(line(&cells).as_bytes())?;
            }
        }
        Ok(())
    }
}

/// An export as an array. Where a walk cannot be read the array breaks off, and why is left in `fault`.
struct Lines<'a> {
    of: &'a Export,
    journal: &'a dyn Storage,
    fault: &'a RefCell<Option<walk::Error>>,
}

impl Serialize for Lines<'_> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let mut array = to.serialize_seq(None)?;
        for damaged in &self.of.damaged {
            array.serialize_element(&Missing::new(damaged))?;
        }
        for walk in &self.of.walks {
            let rows = read(self.journal, walk).map_err(|error| {
                let told = S::Error::custom(&error);
                self.fault.replace(Some(error));
                told
            })?;
            for row in &rows {
                array.serialize_element(row)?;
            }
        }
        array.end()
    }
}

/// A walk whose records are missing, in the place of its records: whoever has the file alone sees that it is not all.
#[derive(Serialize)]
struct Missing<'a> {
    walk: &'a str,
    event: &'static str,
    why: &'a str,
}

impl<'a> Missing<'a> {
    fn new(damaged: &'a Damaged) -> Self {
        let Damaged { walk, why, machine: _ } = damaged;
        Self { walk, event: UNREADABLE, why }
    }
}

/// What stands for the event where a walk cannot be read; no event is called so.
const UNREADABLE: &str = "unreadable";
