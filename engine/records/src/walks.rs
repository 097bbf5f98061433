//! Walks in a line each, and which of them are wanted.

use crate::time::shown;
use document::{Day, Zone};
use journal::ChainSummary;
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use walk::{Line, Status};

/// The words of all standings a walk can have.
pub const STATUSES: [&str; 9] = [
    "not started",
    "in progress",
    "waiting",
    "on hold",
    "awaiting verification",
    "interrupted",
    "stopped",
    "completed",
    "completed with deviation",
];

/// One walk in a line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Walked {
    /// Its name in the records.
    pub id: String,
    /// The procedure.
    pub procedure: String,
    /// Its revision.
    pub revision: u32,
    /// The hash of its content.
    pub content: String,
    /// The equipment.
    pub equipment: String,
    /// The serial number of the machine.
    pub serial: String,
    /// Who walks now, or walked last.
    pub person: String,
    /// Everybody who walked or signed.
    pub people: Vec<String>,
    /// How it stands, in words.
    #[cfg_attr(feature = "schema", schemars(extend("enum" = STATUSES)))]
    pub standing: &'static str,
    /// Whether the procedure is over: completed or stopped.
    pub ended: bool,
    /// Whether it was training only and counts for nothing else.
    pub training: bool,
    /// Whether it was a rehearsal.
    pub rehearsal: bool,
    /// When it was begun, in milliseconds since 1970; for people, in universal time.
    #[serde(rename = "begun", serialize_with = "for_people")]
    #[cfg_attr(feature = "schema", schemars(with = "String"))]
    pub first_ms: i64,
    /// The day of that, in the site's zone.
    #[cfg_attr(feature = "schema", schemars(with = "String"))]
    pub begun_day: Day,
    /// When something was last recorded, in milliseconds since 1970; for people, in universal time.
    #[serde(rename = "last", serialize_with = "for_people")]
    #[cfg_attr(feature = "schema", schemars(with = "String"))]
    pub last_ms: i64,
    /// How many records it has.
    pub records: u64,
    /// Whether it was completed, with or without a deviation.
    #[serde(skip)]
    pub completed: bool,
    /// Why work was stopped.
    #[serde(skip)]
    pub stopped: Option<String>,
    /// Whether work was stopped and the machine was not released for use since.
    #[serde(skip)]
    pub out_of_use: bool,
    /// Whether it was begun by an earlier version, for which `proved` meant less.
    #[serde(skip)]
    pub is_earlier: bool,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde gives a reference")]
fn for_people<S: Serializer>(millis: &i64, writer: S) -> Result<S::Ok, S::Error> {
    writer.serialize_str(&shown(*millis))
}

impl Walked {
    pub(crate) fn new(chain: ChainSummary, zone: Zone, line: Line) -> Self {
        let Line {
            format,
            procedure,
            revision,
            content,
            equipment,
            serial,
            person,
            people,
            status,
            stopped,
            is_returned,
            training,
            rehearsal,
        } = line;
        Self {
            id: chain.id,
            procedure,
            revision,
            content,
            equipment,
            serial,
            person,
            people,
            standing: status.words(),
            ended: status.is_ended(),
            training,
            rehearsal,
            begun_day: zone.day_of(chain.first_at),
            records: chain.len,
            completed: matches!(status, Status::Completed | Status::CompletedWithDeviation),
            stopped,
            out_of_use: status == Status::Stopped && !is_returned,
            is_earlier: format < walk::FORMAT,
            first_ms: chain.first_at,
            last_ms: chain.last_at,
        }
    }
}

/// Which walks are wanted. Every field that is given must fit; several serials are parted by commas.
#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(default, deny_unknown_fields)]
pub struct Filter {
    /// Serial numbers, without regard to case.
    pub serial: String,
    /// Procedures.
    pub procedure: String,
    /// Revisions: whole numbers from 1 to 999999999.
    #[serde(deserialize_with = "revisions")]
    pub revision: String,
    /// People who walked or signed, without regard to case.
    pub person: String,
    /// Standings, in the words of [`STATUSES`].
    #[serde(deserialize_with = "standings")]
    pub standing: String,
    /// The first day on which it may have begun.
    #[serde(deserialize_with = "field", serialize_with = "as_field")]
    pub from: Option<Day>,
    /// The last day on which it may have begun.
    #[serde(deserialize_with = "field", serialize_with = "as_field")]
    pub to: Option<Day>,
}

/// A day from a field of a form, which is empty where none is meant.
fn field<'de, D: Deserializer<'de>>(reader: D) -> Result<Option<Day>, D::Error> {
    let text = String::deserialize(reader)?;
    if text.is_empty() {
        return Ok(None);
    }
    // What was typed is not said again: whoever shows the error may not know that it is not ours.
    let wrong = |_| serde::de::Error::custom("is no day; write one such as 2026-11-02.");
    Day::parse(&text).map(Some).map_err(wrong)
}

fn revisions<'de, D: Deserializer<'de>>(reader: D) -> Result<String, D::Error> {
    let is_one = |one: &str| {
        matches!(one.len(), 1..=9) && !one.starts_with('0') && one.bytes().all(|byte| byte.is_ascii_digit())
    };
    each(reader, is_one, || "is no revision; write a number such as 2.".to_owned())
}

fn standings<'de, D: Deserializer<'de>>(reader: D) -> Result<String, D::Error> {
    each(reader, |one| STATUSES.contains(&one), || format!("is none of: {}.", STATUSES.join(", ")))
}

/// A field with several values, each of which must be one that there can be; an empty one means all.
fn each<'de, D: Deserializer<'de>>(
    reader: D,
    is_one: impl Fn(&str) -> bool,
    wrong: impl FnOnce() -> String,
) -> Result<String, D::Error> {
    let text = String::deserialize(reader)?;
    if text.is_empty() || text.split(',').map(str::trim).all(is_one) {
        return Ok(text);
    }
    Err(serde::de::Error::custom(wrong()))
}

fn as_field<S: Serializer>(day: &Option<Day>, writer: S) -> Result<S::Ok, S::Error> {
    match day {
        Some(day) => day.serialize(writer),
        None => writer.serialize_str(""),
    }
}

impl Filter {
    /// Whether a walk is wanted.
    #[must_use]
    pub fn fits(&self, walk: &Walked) -> bool {
        let any = |wanted: &str, is: &dyn Fn(&str) -> bool| {
            let wanted: Vec<&str> = wanted.split(',').map(str::trim).filter(|one| !one.is_empty()).collect();
            wanted.is_empty() || wanted.into_iter().any(is)
        };
        let same = |a: &str, b: &str| a.to_lowercase() == b.to_lowercase();
        any(&self.serial, &|serial| same(serial, &walk.serial))
            && any(&self.procedure, &|procedure| procedure == walk.procedure)
            && any(&self.revision, &|revision| revision == walk.revision.to_string())
            && any(&self.person, &|person| walk.people.iter().any(|other| same(person, other)))
            && any(&self.standing, &|standing| standing == walk.standing)
            && self.from.is_none_or(|from| walk.begun_day >= from)
            && self.to.is_none_or(|to| walk.begun_day <= to)
    }
}
