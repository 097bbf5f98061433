//! A request read from a form, a query or JSON, into the same type. A form has only texts, and every field of it that was not
//! sent is empty; in JSON a number is a number, and what must be there is missed. A name that nobody here knows is refused:
//! it may be a known one misspelt.

use super::sent::{Fields, JsonObject, once};
use super::unread::Unread;
use super::whole::whole;
use crate::fault::Fault;
use serde::de::value::StrDeserializer;
use serde::de::{DeserializeOwned, DeserializeSeed, Deserializer, Error, MapAccess, Unexpected, Visitor};
use serde::forward_to_deserialize_any;
use serde_json::value::RawValue;

/// What every form may carry besides what it says.
const ENVELOPE: [&str; 2] = ["csrf", "next"];

/// Reads a request from the fields of a form.
pub(crate) fn from_form<T: DeserializeOwned>(fields: &Fields) -> Result<T, Fault> {
    told(T::deserialize(Form { fields, envelope: &ENVELOPE }))
}

/// Reads a request from the fields of a query.
pub(crate) fn from_query<T: DeserializeOwned>(fields: &Fields) -> Result<T, Fault> {
    told(T::deserialize(Form { fields, envelope: &[] }))
}

/// Reads a request from a JSON object.
pub(crate) fn from_json<T: DeserializeOwned>(JsonObject(object): JsonObject) -> Result<T, Fault> {
    let values = once(object)?;
    let sent = values
        .iter()
        .map(|(name, value)| Ok((name.as_str(), Sent::json(value).map_err(|why| why.named(name))?)));
    told(sent.collect::<Result<Vec<_>, Unread>>().and_then(|sent| T::deserialize(Named(sent))))
}

fn told<T>(read: Result<T, Unread>) -> Result<T, Fault> {
    read.map_err(|unread| Fault::Unusable(unread.to_string()))
}

/// The fields of a form.
struct Form<'f> {
    fields: &'f Fields,
    /// Names that are not part of what it says.
    envelope: &'f [&'f str],
}

impl<'de> Deserializer<'de> for Form<'_> {
    type Error = Unread;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Unread> {
        self.deserialize_struct("", &[], visitor)
    }

    /// Those that were sent and then, empty, those that were not.
    fn deserialize_struct<V: Visitor<'de>>(
        self,
        name: &'static str,
        names: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Unread> {
        let Self { fields, envelope } = self;
        let sent = fields.iter().map(|(name, text)| (name.as_str(), Sent::Text(text)));
        let sent = sent.filter(|(name, _)| names.contains(name) || !envelope.contains(name));
        let unsent =
            names.iter().filter(|name| !fields.contains_key(**name)).map(|name| (*name, Sent::Text("")));
        Named(sent.chain(unsent).collect()).deserialize_struct(name, names, visitor)
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf option unit unit_struct
        newtype_struct seq tuple tuple_struct map enum identifier ignored_any
    }
}

/// Values with their names.
struct Named<'f>(Vec<(&'f str, Sent<'f>)>);

impl<'de> Deserializer<'de> for Named<'_> {
    type Error = Unread;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Unread> {
        visitor.visit_map(Each { left: self.0.into_iter(), next: None })
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf option unit unit_struct
        newtype_struct seq tuple tuple_struct map struct enum identifier ignored_any
    }
}

/// Fields one after the other.
struct Each<'f, I> {
    left: I,
    next: Option<(&'f str, Sent<'f>)>,
}

impl<'de, 'f, I: Iterator<Item = (&'f str, Sent<'f>)>> MapAccess<'de> for Each<'f, I> {
    type Error = Unread;

    fn next_key_seed<K: DeserializeSeed<'de>>(&mut self, seed: K) -> Result<Option<K::Value>, Unread> {
        self.next = self.left.next();
        self.next.as_ref().map(|(name, _)| seed.deserialize(StrDeserializer::new(name))).transpose()
    }

    fn next_value_seed<V: DeserializeSeed<'de>>(&mut self, seed: V) -> Result<V::Value, Unread> {
        let (name, sent) = self.next.take().ok_or_else(|| Unread::custom("has no value."))?;
        seed.deserialize(sent).map_err(|unread| unread.named(name))
    }
}

/// What was sent in one field. Spaces around a text do not count.
enum Sent<'f> {
    /// A field of a form, which may mean a number.
    Text(&'f str),
    String(String),
    Bool(bool),
    /// With the digits that were sent.
    Number(&'f str),
    /// Nothing, a list or an object.
    Other,
}

impl<'f> Sent<'f> {
    fn json(value: &'f RawValue) -> Result<Self, Unread> {
        let written = value.get();
        Ok(match written.as_bytes().first() {
            Some(b'"') => Self::String(
                serde_json::from_str(written).map_err(|_| Unread::custom("is no text in Unicode."))?,
            ),
            Some(b't') => Self::Bool(true),
            Some(b'f') => Self::Bool(false),
            Some(b'-' | b'0'..=b'9') => Self::Number(written),
            _ => Self::Other,
        })
    }

    fn text(&self) -> Option<&str> {
        match self {
            Self::Text(text) => Some(text.trim()),
            Self::String(text) => Some(text.trim()),
            Self::Bool(_) | Self::Number(_) | Self::Other => None,
        }
    }
}

impl<'de> Deserializer<'de> for Sent<'_> {
    type Error = Unread;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Unread> {
        match self {
            Self::Bool(is) => visitor.visit_bool(is),
            Self::Number(digits) => visitor.visit_str(digits),
            Self::Text(_) | Self::String(_) | Self::Other => self.deserialize_str(visitor),
        }
    }

    fn deserialize_str<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Unread> {
        visitor.visit_str(self.text().ok_or_else(Unread::of_another_type)?)
    }

    fn deserialize_string<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Unread> {
        self.deserialize_str(visitor)
    }

    fn deserialize_bool<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Unread> {
        match self {
            Self::Bool(is) => visitor.visit_bool(is),
            Self::Text(text) => match text.trim() {
                "yes" => visitor.visit_bool(true),
                // A box that is not ticked is not sent.
                "" => visitor.visit_bool(false),
                _ => Err(Unread::custom("is `yes` or is not sent.")),
            },
            Self::String(_) | Self::Number(_) | Self::Other => Err(Unread::of_another_type()),
        }
    }

    fn deserialize_u64<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Unread> {
        match self {
            Self::Text(digits) | Self::Number(digits) => match whole(digits.trim()) {
                Some(number) => visitor.visit_u64(number),
                None => Err(Unread::invalid_value(Unexpected::Other("a number"), &visitor)),
            },
            Self::String(_) | Self::Bool(_) | Self::Other => Err(Unread::of_another_type()),
        }
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Unread> {
        match self {
            Self::Text(text) if text.trim().is_empty() => visitor.visit_none(),
            Self::Text(_) | Self::String(_) | Self::Bool(_) | Self::Number(_) | Self::Other => {
                visitor.visit_some(self)
            }
        }
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Unread> {
        let text = self.text().ok_or_else(Unread::of_another_type)?;
        visitor.visit_enum(StrDeserializer::<Unread>::new(text))
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        visitor: V,
    ) -> Result<V::Value, Unread> {
        visitor.visit_newtype_struct(self)
    }

    fn deserialize_ignored_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Unread> {
        visitor.visit_unit()
    }

    forward_to_deserialize_any! {
        i8 i16 i32 i64 i128 u8 u16 u32 u128 f32 f64 char bytes byte_buf unit unit_struct seq tuple tuple_struct map struct
        identifier
    }
}
