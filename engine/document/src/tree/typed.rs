//! The tree as the typed model reads it.

use super::{Entry, Node, Value};
use serde::de::value::{Error, MapAccessDeserializer, MapDeserializer, SeqDeserializer};
use serde::de::{Deserializer, IntoDeserializer, Visitor};
use serde::forward_to_deserialize_any;

impl<'de> Deserializer<'de> for &'de Node {
    type Error = Error;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        match &self.value {
            Value::Null => visitor.visit_unit(),
            Value::Bool(value) => visitor.visit_bool(*value),
            // What counts is seldom below zero, and the model says so.
            Value::Integer(value) => match u64::try_from(*value) {
                Ok(value) => visitor.visit_u64(value),
                Err(_) => visitor.visit_i64(*value),
            },
            Value::Number(value) => visitor.visit_f64(*value),
            Value::Text(text) => visitor.visit_borrowed_str(text),
            Value::List(items) => {
                let mut items = SeqDeserializer::new(items.iter());
                let value = visitor.visit_seq(&mut items)?;
                items.end().map(|()| value)
            }
            Value::Map(entries) => {
                let mut entries = MapDeserializer::new(entries.iter().map(pair));
                let value = visitor.visit_map(&mut entries)?;
                entries.end().map(|()| value)
            }
        }
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        match self.value {
            Value::Null => visitor.visit_none(),
            _ => visitor.visit_some(self),
        }
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        visitor: V,
    ) -> Result<V::Value, Error> {
        visitor.visit_newtype_struct(self)
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        match &self.value {
            Value::Map(entries) => {
                visitor.visit_enum(MapAccessDeserializer::new(MapDeserializer::new(entries.iter().map(pair))))
            }
            _ => visitor.visit_enum(self.text().unwrap_or_default().into_deserializer()),
        }
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf unit unit_struct seq tuple
        tuple_struct map struct identifier ignored_any
    }
}

impl<'de> IntoDeserializer<'de, Error> for &'de Node {
    type Deserializer = Self;

    fn into_deserializer(self) -> Self {
        self
    }
}

fn pair(entry: &Entry) -> (&str, &Node) {
    (&entry.key, &entry.node)
}
