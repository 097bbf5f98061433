//! Records for other programs: one array of JSON, or one line a record.

use crate::damage::Damaged;
use crate::time::time;
use card::csv::line;
use journal::Journal;
#[cfg(feature = "schema")]
use schemars::{Schema, SchemaGenerator, json_schema};
use serde::Serialize;

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
pub fn rows(journal: &Journal, walk: &str) -> Result<Vec<Exported>, walk::Error> {
    walk::check_chain(journal, walk)?;
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

#[derive(Serialize)]
#[serde(untagged)]
enum Line<'a> {
    Missing(Missing<'a>),
    Record(&'a Exported),
}

/// One array: the walks that cannot be read, which have no records here, then the records of the others.
///
/// # Errors
/// None that a record could cause.
pub fn json(rows: &[Exported], damaged: &[Damaged]) -> Result<String, serde_json::Error> {
    let missing = damaged.iter().map(|damaged| Line::Missing(Missing::new(damaged)));
    let lines: Vec<Line<'_>> = missing.chain(rows.iter().map(Line::Record)).collect();
    Ok(serde_json::to_string_pretty(&lines)? + "\n")
}

/// RFC 4180, with the event's own fields as one JSON column; walks that cannot be read come first, each a line without
/// a number, a time or a hash. The texts of the documents are left to the JSON form.
#[must_use]
pub fn csv(rows: &[Exported], damaged: &[Damaged]) -> String {
    let mut text = String::from("walk,seq,at,event,details,hash\r\n");
    for Missing { walk, event, why } in damaged.iter().map(Missing::new) {
        let (none, details) = (String::new, serde_json::json!({ "why": why }).to_string());
        text.push_str(&line(&[walk.to_owned(), none(), none(), event.to_owned(), details, none()]));
    }
    for row in rows {
        let mut details = row.event.clone();
        let mut event = String::new();
        if let Some(map) = details.as_object_mut() {
            map.remove("documents");
            event =
                map.remove("event").and_then(|event| event.as_str().map(str::to_owned)).unwrap_or_default();
        }
        let (walk, at, hash) = (row.walk.clone(), row.at.clone(), row.hash.clone());
        text.push_str(&line(&[walk, row.seq.to_string(), at, event, details.to_string(), hash]));
    }
    text
}
