//! Values of requests that are more than a text: the position that is answered, the key of an answer, what is answered.

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::Deserialize;
use serde::de::{Deserializer, Error, Visitor};
use std::borrow::Cow;
use std::fmt;

/// The position of the walk that an answer is an answer to. Beyond 2⁵³ - 1 not every program tells whole numbers apart
/// (RFC 8259, 6: memory).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Position(pub(crate) u64);

const POSITION_END: u64 = 1 << 53;
const NO_POSITION: &str = "The answer says not to what.";

impl<'de> Deserialize<'de> for Position {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_u64(Whole)
    }
}

struct Whole;

impl Visitor<'_> for Whole {
    type Value = Position;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a whole number")
    }

    fn visit_u64<E: Error>(self, number: u64) -> Result<Position, E> {
        if number < POSITION_END { Ok(Position(number)) } else { Err(E::custom(NO_POSITION)) }
    }

    fn visit_i64<E: Error>(self, _: i64) -> Result<Position, E> {
        Err(E::custom(NO_POSITION))
    }

    /// To JSON 3.0 is a whole number.
    fn visit_f64<E: Error>(self, number: f64) -> Result<Position, E> {
        let whole = number.to_string().parse().map_err(|_| E::custom(NO_POSITION))?;
        self.visit_u64(whole)
    }

    fn visit_none<E: Error>(self) -> Result<Position, E> {
        Err(E::custom(NO_POSITION))
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
            "maximum": POSITION_END - 1,
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
    type Error = &'static str;

    fn try_from(key: String) -> Result<Self, &'static str> {
        let plain = key.bytes().all(|byte| byte.is_ascii_alphanumeric() || byte == b'-');
        if key.is_empty() || key.len() > KEY_MAX || !plain {
            return Err("The answer carries no key. Open the page again and answer there.");
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

    fn visit_str<E: Error>(self, text: &str) -> Result<AnswerValue, E> {
        Ok(AnswerValue(text.to_owned()))
    }

    fn visit_bool<E: Error>(self, is: bool) -> Result<AnswerValue, E> {
        Ok(AnswerValue(if is { "yes" } else { "no" }.to_owned()))
    }

    fn visit_u64<E: Error>(self, number: u64) -> Result<AnswerValue, E> {
        Ok(AnswerValue(number.to_string()))
    }

    fn visit_i64<E: Error>(self, number: i64) -> Result<AnswerValue, E> {
        Ok(AnswerValue(number.to_string()))
    }

    fn visit_f64<E: Error>(self, number: f64) -> Result<AnswerValue, E> {
        Ok(AnswerValue(number.to_string()))
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
        json_schema!({ "type": ["string", "number", "boolean"] })
    }
}
