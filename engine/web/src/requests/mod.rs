//! What forms and calls say: one type for both.

mod read;
mod sent;
#[cfg(test)]
mod tests;
mod unread;
mod values;
mod whole;

pub(crate) use read::{from_form, from_json, from_query};
pub(crate) use sent::{Fields, JsonObject, fields, once};
pub(crate) use values::{AnswerValue, Key, Position};
pub(crate) use whole::whole;

use schemars::JsonSchema;
use serde::de::{Deserializer, Error};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use values::{REASON_MAX, limited};

/// Somebody signs in.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct SigningIn {
    pub(crate) name: String,
    pub(crate) pin: String,
}

/// Somebody unlocks their sign-in.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Unlocking {
    pub(crate) pin: String,
}

/// A walk is begun.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Beginning {
    pub(crate) procedure: String,
    pub(crate) serial: String,
    #[serde(default)]
    pub(crate) rehearsal: bool,
    /// Whether it is training only; without an approval it always is.
    #[serde(default)]
    pub(crate) training: bool,
    /// New with every walk; asked with the same key again that day, the same walk is told.
    #[schemars(with = "Key")]
    #[serde(default)]
    pub(crate) key: Option<Key>,
}

/// What a walker says.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Answer {
    pub(crate) say: Say,
    /// The value of a variant; `yes`, `no` or `cannot-tell` (where the walk gave other values, `no` alone is refused: one of
    /// them is said instead, with `is`); one of these other values; an answer, an item or an action as the walk gave it; the
    /// number of a fastener; a note; `jump` jumps over a wait in a rehearsal.
    #[serde(default)]
    pub(crate) value: AnswerValue,
    /// A reading, with its unit or without.
    #[serde(default)]
    pub(crate) number: String,
    #[serde(default)]
    pub(crate) unit: String,
    pub(crate) position: Position,
    pub(crate) key: Key,
}

/// What an answer is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(inline)]
pub(crate) enum Say {
    Variant,
    Look,
    /// It is none of the values asked for: it is this one of the others.
    Is,
    CannotTell,
    Restored,
    Done,
    /// After an interruption: the act had been done to its end.
    WasDone,
    Fasten,
    Reading,
    Answer,
    Item,
    Limit,
    /// The last answer was a mistake.
    TakeBack,
    Note,
    Pause,
    Resume,
    Timer,
    Left,
    LeaveLook,
    /// Something else, which a walk refuses.
    #[serde(other)]
    #[schemars(skip)]
    Unknown,
}

/// A second person signs what is due.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Signature {
    pub(crate) person: String,
    pub(crate) pin: String,
    /// What they say of what is to be verified, `verified` if nothing else; a hold point is only released.
    #[schemars(with = "SignedVerdict")]
    #[serde(default)]
    pub(crate) verdict: Option<SignedVerdict>,
    pub(crate) position: Position,
    pub(crate) key: Key,
}

/// What a second person says of what is to be verified.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[schemars(inline)]
pub(crate) enum SignedVerdict {
    /// It is so.
    Verified,
    /// It was not done, or is not so.
    NotSo,
}

/// An act is done otherwise than written.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Deviation {
    pub(crate) person: String,
    pub(crate) pin: String,
    #[serde(deserialize_with = "limited::<REASON_MAX, _>")]
    #[schemars(length(max = REASON_MAX))]
    pub(crate) reason: String,
    pub(crate) position: Position,
    pub(crate) key: Key,
}

/// The machine is released after a stop.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Release {
    pub(crate) person: String,
    pub(crate) pin: String,
    #[serde(deserialize_with = "limited::<REASON_MAX, _>")]
    #[schemars(length(max = REASON_MAX))]
    pub(crate) remark: String,
    pub(crate) position: Position,
    pub(crate) key: Key,
}

/// Work is stopped.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Stop {
    #[serde(deserialize_with = "limited::<REASON_MAX, _>")]
    #[schemars(length(max = REASON_MAX))]
    pub(crate) reason: String,
    pub(crate) key: Key,
}

/// Which of the two forms of the page for stopping was sent.
#[derive(Debug, Deserialize)]
pub(crate) struct StopForm {
    pub(crate) say: StopSay,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum StopSay {
    Return,
    #[serde(other)]
    Stop,
}

/// What stands beside a photo in its form.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct PhotoForm {
    pub(crate) key: Key,
    pub(crate) caption: String,
}

/// What every form carries besides what it says.
#[derive(Debug, Deserialize)]
pub(crate) struct Envelope {
    /// The token of the sign-in, or of the device where nobody is signed in.
    pub(crate) csrf: String,
    /// The path to go to afterwards.
    pub(crate) next: String,
}

/// Where to go after signing in, as a link says it.
#[derive(Debug, Deserialize)]
pub(crate) struct NextPage {
    pub(crate) next: Option<String>,
}

/// What an officer decides of a procedure.
#[derive(Debug, Default, Deserialize, Serialize)]
#[serde(default, rename_all = "kebab-case")]
pub(crate) struct DecisionForm {
    pub(crate) say: DecisionSay,
    pub(crate) until: String,
    pub(crate) walked_by: String,
    pub(crate) walked_on: String,
    pub(crate) walked_at: String,
    pub(crate) reason: String,
    /// The hash of what was looked at.
    #[serde(skip_serializing)]
    pub(crate) content: String,
    #[serde(skip_serializing)]
    pub(crate) pin: String,
    /// Remarks on steps and reasons for findings.
    #[serde(flatten, deserialize_with = "noted", skip_serializing)]
    pub(crate) noted: BTreeMap<String, String>,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum DecisionSay {
    Approve,
    Return,
    Withdraw,
    /// Nothing, or something that nobody here knows.
    #[default]
    #[serde(other)]
    Unsaid,
}

/// Reads the fields of a decision whose names the procedure gives.
fn noted<'de, D: Deserializer<'de>>(reader: D) -> Result<BTreeMap<String, String>, D::Error> {
    let noted = BTreeMap::<String, String>::deserialize(reader)?;
    match noted.keys().find(|name| !name.starts_with(ACCEPT) && !name.starts_with(REMARK)) {
        Some(unknown) => Err(D::Error::unknown_field(unknown, &[])),
        None => Ok(noted),
    }
}

/// How the names of those fields begin: of reasons for findings, and of remarks on steps.
const ACCEPT: &str = "accept:";
const REMARK: &str = "remark:";

impl DecisionForm {
    /// The name of the field with the reason for which a finding is accepted.
    pub(crate) fn accept_name(code: &str, step: Option<&str>) -> String {
        format!("{ACCEPT}{code}@{}", step.unwrap_or_default())
    }

    /// That reason; empty where none is given.
    pub(crate) fn accepted(&self, code: &str, step: Option<&str>) -> &str {
        self.noted.get(&Self::accept_name(code, step)).map_or("", String::as_str)
    }

    /// The remark on a step; empty where none is made.
    pub(crate) fn remark(&self, step: &str) -> &str {
        self.noted.get(&format!("{REMARK}{step}")).map_or("", String::as_str)
    }
}
