//! What was sent, by names: the fields of a form or a query, and the values of a JSON object as they were written. A name that
//! is given twice and bytes that are no text are refused: whoever sent them may have meant another value than the one kept.

use crate::fault::Fault;
use serde::de::{Deserialize, Deserializer, MapAccess, Visitor};
use serde_json::value::RawValue;
use std::collections::BTreeMap;
use std::fmt;

/// What a form's fields hold, by their names.
pub(crate) type Fields = BTreeMap<String, String>;

/// Reads the fields of a form or a query, as `application/x-www-form-urlencoded` writes them.
pub(crate) fn fields(encoded: &[u8]) -> Result<Fields, Fault> {
    let mut pairs = Vec::new();
    for pair in encoded.split(|byte| *byte == b'&').filter(|pair| !pair.is_empty()) {
        let (name, value) = match pair.iter().position(|byte| *byte == b'=') {
            Some(end) => (&pair[..end], &pair[end + 1..]),
            None => (pair, &[][..]),
        };
        pairs.push((decoded(name)?, decoded(value)?));
    }
    once(pairs)
}

/// Values by their names, of which each may be there once.
pub(crate) fn once<V>(pairs: impl IntoIterator<Item = (String, V)>) -> Result<BTreeMap<String, V>, Fault> {
    let mut named = BTreeMap::new();
    for (name, value) in pairs {
        if named.contains_key(&name) {
            return Err(Fault::Unusable(format!("`{name}` is given twice.")));
        }
        named.insert(name, value);
    }
    Ok(named)
}

/// A text of which bytes may be written as `%` and two hexadecimal digits, and a space as `+`.
fn decoded(encoded: &[u8]) -> Result<String, Fault> {
    let no_text =
        || Fault::Unusable("What was sent is not text in UTF-8, with `%25` for a percent sign.".to_owned());
    let mut bytes = Vec::with_capacity(encoded.len());
    let mut left = encoded.iter();
    while let Some(byte) = left.next() {
        bytes.push(match byte {
            b'+' => b' ',
            b'%' => {
                let mut digit = || char::from(*left.next()?).to_digit(16);
                let byte = digit().zip(digit()).and_then(|(high, low)| u8::try_from(high * 16 + low).ok());
                byte.ok_or_else(no_text)?
            }
            other => *other,
        });
    }
    String::from_utf8(bytes).map_err(|_| no_text())
}

/// The names and values of a JSON object in the order in which they were sent: also a name that is there twice, and numbers
/// with all their digits.
#[derive(Debug)]
pub(crate) struct JsonObject(pub(super) Vec<(String, Box<RawValue>)>);

impl<'de> Deserialize<'de> for JsonObject {
    fn deserialize<D: Deserializer<'de>>(reader: D) -> Result<Self, D::Error> {
        reader.deserialize_map(Pairs).map(Self)
    }
}

struct Pairs;

impl<'de> Visitor<'de> for Pairs {
    type Value = Vec<(String, Box<RawValue>)>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("an object")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut object: A) -> Result<Self::Value, A::Error> {
        let mut pairs = Vec::new();
        while let Some(pair) = object.next_entry()? {
            pairs.push(pair);
        }
        Ok(pairs)
    }
}
