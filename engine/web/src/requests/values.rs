//! Values of requests that are more than a text: the position that is answered, the key of an answer, what is answered.

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::Deserialize;
use serde::de::{Deserializer, Error, Unexpected, Visitor};
use std::borrow::Cow;
use std::fmt;

/// The position of the walk that an answer is an answer to. Beyond 2⁵³ - 1 not every program tells whole numbers apart
/// (RFC 8259, 6: memory).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Position(pub(crate) u64);

const POSITION_MAX: u64 = (1 << 53) - 1;

impl<'de> Deserialize<'de> for Position {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_u64(Whole)
    }
}

struct Whole;

impl Visitor<'_> for Whole {
    type Value = Position;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "a whole number from 0 to {POSITION_MAX}")
    }

    fn visit_u64<E: Error>(self, number: u64) -> Result<Position, E> {
        if number > POSITION_MAX {
            return Err(E::invalid_value(Unexpected::Unsigned(number), &self));
        }
        Ok(Position(number))
    }
}

impl JsonSchema for Position {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        "Position".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "integer",
            "minimum": 0,
            "maximum": POSITION_MAX,
            "description": "The position of the walk that is answered.",
        })
    }
}

/// What a device calls its answer: new with every answer, so that one that is sent twice is taken once.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(try_from = "String")]
pub(crate) struct Key(String);

/// Letters in a key.
const KEY_MAX: usize = 80;

impl Key {
    pub(crate) fn as_str(&self) -> &str {
        &self.0
    }
}

impl TryFrom<String> for Key {
    type Error = String;

    fn try_from(key: String) -> Result<Self, String> {
        let plain = key.bytes().all(|byte| byte.is_ascii_alphanumeric() || byte == b'-');
        if key.is_empty() || key.len() > KEY_MAX || !plain {
            return Err(format!("is not 1 to {KEY_MAX} letters of A to Z or a to z, digits and hyphens."));
        }
        Ok(Self(key))
    }
}

impl JsonSchema for Key {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        "Key".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "string",
            "pattern": format!("^[A-Za-z0-9-]{{1,{KEY_MAX}}}$"),
            "description": "New with every answer; the same key is taken once.",
        })
    }
}

/// Letters in a note at most.
const VALUE_MAX: usize = 4000;

/// Letters in a reason or a remark at most.
pub(super) const REASON_MAX: usize = 2000;

/// Reads a text of a field that has a limit.
pub(super) fn limited<'de, const MAX: usize, D: Deserializer<'de>>(reader: D) -> Result<String, D::Error> {
    short::<MAX, D::Error>(String::deserialize(reader)?)
}

/// A text, if it is not too long. A form sends the end of a line as two letters, of which a browser counts one.
fn short<const MAX: usize, E: Error>(text: String) -> Result<String, E> {
    if text.chars().filter(|letter| *letter != '\r').count() > MAX {
        return Err(E::custom(format_args!("has more than {MAX} letters.")));
    }
    Ok(text)
}

/// What is answered, as a text; other programs may send the number or the truth value itself.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct AnswerValue(pub(crate) String);

impl<'de> Deserialize<'de> for AnswerValue {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(Scalar)
    }
}

struct Scalar;

impl Visitor<'_> for Scalar {
    type Value = AnswerValue;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a text, a number or a truth value")
    }

    /// A text, or a number with the digits that were sent.
    fn visit_str<E: Error>(self, text: &str) -> Result<AnswerValue, E> {
        short::<VALUE_MAX, E>(text.to_owned()).map(AnswerValue)
    }

    fn visit_bool<E: Error>(self, is: bool) -> Result<AnswerValue, E> {
        Ok(AnswerValue(if is { "yes" } else { "no" }.to_owned()))
    }
}

impl JsonSchema for AnswerValue {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        "AnswerValue".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": ["string", "number", "boolean"], "maxLength": VALUE_MAX })
    }
}
