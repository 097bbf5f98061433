//! Records for other programs: one array of JSON, or one line a record.

use crate::time::time;
use card::csv::line;
use journal::Journal;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::Serialize;

/// One record for other programs.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Exported {
    walk: String,
    seq: u64,
    #[schemars(extend("format" = "date-time"))]
    at: String,
    #[schemars(regex(pattern = "^[0-9a-f]{64}$"))]
    previous: String,
    #[schemars(regex(pattern = "^[0-9a-f]{64}$"))]
    hash: String,
    #[serde(flatten)]
    #[schemars(schema_with = "event_schema")]
    event: serde_json::Value,
}

/// An event says what it is; what else it holds depends on that.
fn event_schema(_: &mut SchemaGenerator) -> Schema {
    json_schema!({ "type": "object", "required": ["event"], "properties": { "event": { "type": "string" } } })
}

/// All records of a walk, in order.
///
/// # Errors
/// If there is no such walk, a record cannot be read, or the journal fails.
pub fn rows(journal: &Journal, walk: &str) -> Result<Vec<Exported>, walk::Error> {
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

/// One array of records.
///
/// # Errors
/// None that a record could cause.
pub fn json(rows: &[Exported]) -> Result<String, serde_json::Error> {
    Ok(serde_json::to_string_pretty(rows)? + "\n")
}

/// RFC 4180, with the event's own fields as one JSON column. The texts of the documents are left to the JSON form.
#[must_use]
pub fn csv(rows: &[Exported]) -> String {
    let mut text = String::from("walk,seq,at,event,details,hash\r\n");
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
