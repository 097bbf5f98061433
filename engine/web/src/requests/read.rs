//! A request read from a form or from JSON, into the same type. A form has only texts, and every field of it that was not
//! sent is empty; in JSON a number is a number, and what must be there is missed.

use crate::fault::Fault;
use serde::de::value::StrDeserializer;
use serde::de::{DeserializeOwned, DeserializeSeed, Deserializer, Error, MapAccess, Unexpected, Visitor};
use serde::forward_to_deserialize_any;
use serde_json::{Map, Value};
use std::collections::BTreeMap;
use std::fmt;

/// Reads a request from the fields of a form.
pub(crate) fn from_form<T: DeserializeOwned>(fields: &BTreeMap<String, String>) -> Result<T, Fault> {
    T::deserialize(Form(fields)).map_err(|unread| Fault::Unusable(unread.to_string()))
}

/// Reads a request from a JSON object. Names that nobody here knows do no harm.
pub(crate) fn from_json<T: DeserializeOwned>(object: Map<String, Value>) -> Result<T, Fault> {
    T::deserialize(Object(object)).map_err(|unread| Fault::Unusable(unread.to_string()))
}

/// Why a request cannot be read, as whoever sent it is told.
#[derive(Debug, PartialEq, Eq)]
enum Unread {
    Missing(&'static str),
    /// The field's name is known one level up, where the fields are gone through.
    OfAnotherType(Option<String>),
    Unusable(String),
}

impl Unread {
    fn named(self, name: &str) -> Self {
        match self {
            Self::OfAnotherType(None) => Self::OfAnotherType(Some(name.to_owned())),
            Self::OfAnotherType(Some(_)) | Self::Missing(_) | Self::Unusable(_) => self,
        }
    }
}

impl fmt::Display for Unread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Missing(name) => write!(f, "`{name}` is missing."),
            Self::OfAnotherType(name) => {
                let name = name.as_deref().unwrap_or("body");
                write!(f, "`{name}` is of another type than the description says.")
            }
            Self::Unusable(why) => f.write_str(why),
        }
    }
}

impl std::error::Error for Unread {}

impl Error for Unread {
    fn custom<T: fmt::Display>(why: T) -> Self {
        Self::Unusable(why.to_string())
    }

    fn invalid_type(_: Unexpected<'_>, _: &dyn serde::de::Expected) -> Self {
        Self::OfAnotherType(None)
    }

    fn missing_field(name: &'static str) -> Self {
        Self::Missing(name)
    }
}

/// The fields of a form.
struct Form<'f>(&'f BTreeMap<String, String>);

impl<'de> Deserializer<'de> for Form<'_> {
    type Error = Unread;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Unread> {
        visitor.visit_map(Fields::new(self.0.iter().map(|(name, text)| (name.clone(), Sent::Text(text)))))
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        names: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Unread> {
        let sent = |name: &&str| {
            ((*name).to_owned(), Sent::Text(self.0.get(*name).map(String::as_str).unwrap_or_default()))
        };
        visitor.visit_map(Fields::new(names.iter().map(sent)))
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf option unit unit_struct
        newtype_struct seq tuple tuple_struct map enum identifier ignored_any
    }
}

/// A JSON object.
struct Object(Map<String, Value>);

impl<'de> Deserializer<'de> for Object {
    type Error = Unread;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Unread> {
        visitor.visit_map(Fields::new(self.0.into_iter().map(|(name, value)| (name, Sent::Json(value)))))
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf option unit unit_struct
        newtype_struct seq tuple tuple_struct map struct enum identifier ignored_any
    }
}

/// Fields one after the other.
struct Fields<'f, I> {
    left: I,
    next: Option<(String, Sent<'f>)>,
}

impl<I> Fields<'_, I> {
    fn new(left: I) -> Self {
        Self { left, next: None }
    }
}

impl<'de, 'f, I: Iterator<Item = (String, Sent<'f>)>> MapAccess<'de> for Fields<'f, I> {
    type Error = Unread;

    fn next_key_seed<K: DeserializeSeed<'de>>(&mut self, seed: K) -> Result<Option<K::Value>, Unread> {
        self.next = self.left.next();
        self.next.as_ref().map(|(name, _)| seed.deserialize(StrDeserializer::new(name))).transpose()
    }

    fn next_value_seed<V: DeserializeSeed<'de>>(&mut self, seed: V) -> Result<V::Value, Unread> {
        let (name, sent) = self.next.take().ok_or_else(|| Unread::custom("A field has no value."))?;
        seed.deserialize(sent).map_err(|unread| unread.named(&name))
    }
}

/// What was sent in one field. Spaces around a text do not count.
enum Sent<'f> {
    Text(&'f str),
    Json(Value),
}

impl Sent<'_> {
    fn text(&self) -> Option<&str> {
        match self {
            Self::Text(text) => Some(text.trim()),
            Self::Json(Value::String(text)) => Some(text.trim()),
            Self::Json(
                Value::Null | Value::Bool(_) | Value::Number(_) | Value::Array(_) | Value::Object(_),
            ) => None,
        }
    }
}

impl<'de> Deserializer<'de> for Sent<'_> {
    type Error = Unread;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Unread> {
        if let Some(text) = self.text() {
            return visitor.visit_str(text);
        }
        match self {
            Self::Json(Value::Bool(is)) => visitor.visit_bool(is),
            Self::Json(Value::Number(number)) => match (number.as_u64(), number.as_i64(), number.as_f64()) {
                (Some(whole), ..) => visitor.visit_u64(whole),
                (None, Some(whole), _) => visitor.visit_i64(whole),
                (None, None, Some(number)) => visitor.visit_f64(number),
                (None, None, None) => Err(Unread::OfAnotherType(None)),
            },
            Self::Text(_)
            | Self::Json(Value::Null | Value::String(_) | Value::Array(_) | Value::Object(_)) => {
                Err(Unread::OfAnotherType(None))
            }
        }
    }

    fn deserialize_bool<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Unread> {
        match self {
            // A box that is not ticked is not sent.
            Self::Text(text) => visitor.visit_bool(text.trim() == "yes"),
            Self::Json(_) => self.deserialize_any(visitor),
        }
    }

    fn deserialize_u64<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Unread> {
        match self {
            // What is no whole number is none at all: whoever asks for one says what that means.
            Self::Text(text) => match text.trim().parse() {
                Ok(number) => visitor.visit_u64(number),
                Err(_) => visitor.visit_none(),
            },
            Self::Json(_) => self.deserialize_any(visitor),
        }
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Unread> {
        if self.text() == Some("") { visitor.visit_none() } else { visitor.visit_some(self) }
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Unread> {
        let text = self.text().ok_or(Unread::OfAnotherType(None))?;
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
        i8 i16 i32 i64 i128 u8 u16 u32 u128 f32 f64 char str string bytes byte_buf unit unit_struct seq tuple
        tuple_struct map struct identifier
    }
}
