//! A document as a tree of values, each with its place.

mod build;
mod duplicates;
mod keys;
mod scalar;
mod syntax;
mod typed;

pub(crate) use build::parse;

use crate::source::Span;

/// A value and its place.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Node {
    /// From its first byte to its last, also for lists and maps.
    pub(crate) span: Span,
    /// What stands there.
    pub(crate) value: Value,
}

/// What stands at a place.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Value {
    /// Nothing, `~` or `null`.
    Null,
    /// `true` or `false`; `yes`, `no`, `on` and `off` are texts.
    Bool(bool),
    /// A whole number.
    Integer(i64),
    /// Another number; always finite.
    Number(f64),
    /// A text, without its quotes.
    Text(String),
    /// Values in order.
    List(Vec<Node>),
    /// Keys with values, in order, no key twice.
    Map(Vec<Entry>),
}

/// One line of a map.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Entry {
    /// The key, without its quotes.
    pub(crate) key: String,
    /// Where the key stands.
    pub(crate) key_span: Span,
    /// What belongs to it.
    pub(crate) node: Node,
}

impl Node {
    /// The value of a key, for a map that has it.
    pub(crate) fn get(&self, key: &str) -> Option<&Entry> {
        match &self.value {
            Value::Map(entries) => entries.iter().find(|entry| entry.key == key),
            _ => None,
        }
    }

    /// The text, for a text.
    pub(crate) fn text(&self) -> Option<&str> {
        match &self.value {
            Value::Text(text) => Some(text),
            _ => None,
        }
    }

    /// The entries, for a map; none for anything else.
    pub(crate) fn entries(&self) -> &[Entry] {
        match &self.value {
            Value::Map(entries) => entries,
            _ => &[],
        }
    }

    /// The value as JSON, for what is told of the schema and for what identifies a document.
    pub(crate) fn to_json(&self) -> serde_json::Value {
        use serde_json::Value as Json;
        match &self.value {
            Value::Null => Json::Null,
            Value::Bool(value) => Json::Bool(*value),
            Value::Integer(value) => Json::from(*value),
            Value::Number(value) => Json::from(*value),
            Value::Text(text) => Json::String(text.clone()),
            Value::List(items) => Json::Array(items.iter().map(Self::to_json).collect()),
            Value::Map(entries) => {
                Json::Object(entries.iter().map(|entry| (entry.key.clone(), entry.node.to_json())).collect())
            }
        }
    }
}
