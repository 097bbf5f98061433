//! The tree as the schema's validator sees it: no document is copied to be judged.

use crate::tree::{Entry, Node, Value};
use jsonschema::json::{Array, Json, JsonNumber, Node as JsonNode, NodeIdentity, Object};
use jsonschema::types::JsonType;
use serde_json::{Number as JsonNumberValue, Value as JsonValue};
use std::borrow::Cow;

/// The representation that the tree is.
pub(super) struct Tree;

/// A number of the tree.
#[derive(Clone, Copy)]
pub(super) enum Number {
    Whole(i64),
    /// Always finite.
    Other(f64),
}

impl Json for Tree {
    type Node<'a> = &'a Node;
    type PreparedKey = String;
    type StringBuffer = ();

    const KEYS_PER_LOOKUP: usize = 2;
    const ACYCLIC: bool = true;

    fn prepare_key(key: &str) -> String {
        key.to_owned()
    }

    fn with_string_node<T>((): &mut (), string: &str, f: impl FnOnce(&Node) -> T) -> T {
        f(&Node { span: crate::source::Span::default(), value: Value::Text(string.to_owned()) })
    }
}

impl<'a> JsonNode<'a, Tree> for &'a Node {
    type Object = &'a [Entry];
    type Array = &'a [Node];
    type Number = Number;

    fn as_object(&self) -> Option<&'a [Entry]> {
        match &self.value {
            Value::Map(entries) => Some(entries),
            _ => None,
        }
    }

    fn as_array(&self) -> Option<&'a [Node]> {
        match &self.value {
            Value::List(items) => Some(items),
            _ => None,
        }
    }

    fn as_string(&self) -> Option<Cow<'a, str>> {
        self.text().map(Cow::Borrowed)
    }

    fn as_number(&self) -> Option<Number> {
        match self.value {
            Value::Integer(value) => Some(Number::Whole(value)),
            Value::Number(value) => Some(Number::Other(value)),
            _ => None,
        }
    }

    fn as_boolean(&self) -> Option<bool> {
        match self.value {
            Value::Bool(value) => Some(value),
            _ => None,
        }
    }

    fn is_null(&self) -> bool {
        self.value == Value::Null
    }

    fn json_type(&self) -> JsonType {
        match self.value {
            Value::Null => JsonType::Null,
            Value::Bool(_) => JsonType::Boolean,
            Value::Integer(_) | Value::Number(_) => JsonType::Number,
            Value::Text(_) => JsonType::String,
            Value::List(_) => JsonType::Array,
            Value::Map(_) => JsonType::Object,
        }
    }

    fn equals_value(&self, expected: &JsonValue) -> bool {
        match (&self.value, expected) {
            (Value::Text(text), JsonValue::String(expected)) => text == expected,
            (Value::Text(_), _) | (_, JsonValue::String(_)) => false,
            _ => jsonschema::json::cmp::equal(&self.to_json(), expected),
        }
    }

    fn to_value(&self) -> Cow<'a, JsonValue> {
        Cow::Owned(self.to_json())
    }

    fn identity(&self) -> Option<NodeIdentity> {
        Some(NodeIdentity::new(std::ptr::from_ref::<Node>(self) as usize))
    }
}

impl<'a> Object<'a, Tree> for &'a [Entry] {
    type Node = &'a Node;
    type MemberName = &'a str;
    type MembersIter = std::iter::Map<std::slice::Iter<'a, Entry>, fn(&'a Entry) -> (&'a str, &'a Node)>;

    fn len(&self) -> usize {
        <[Entry]>::len(self)
    }

    fn get(&self, key: &String) -> Option<&'a Node> {
        self.iter().find(|entry| entry.key == *key).map(|entry| &entry.node)
    }

    fn members(&self) -> Self::MembersIter {
        self.iter().map(|entry| (entry.key.as_str(), &entry.node))
    }
}

impl<'a> Array<'a, Tree> for &'a [Node] {
    type Node = &'a Node;
    type ElementsIter = std::slice::Iter<'a, Node>;

    fn len(&self) -> usize {
        <[Node]>::len(self)
    }

    fn elements(&self) -> Self::ElementsIter {
        self.iter()
    }
}

impl JsonNumber for Number {
    fn as_u64(&self) -> Option<u64> {
        self.as_i64().and_then(|value| value.try_into().ok())
    }

    fn as_i64(&self) -> Option<i64> {
        match *self {
            Self::Whole(value) => Some(value),
            Self::Other(_) => None,
        }
    }

    fn as_f64(&self) -> Option<f64> {
        self.to_number().as_f64()
    }

    fn as_str(&self) -> Cow<'_, str> {
        Cow::Owned(self.to_number().to_string())
    }

    fn to_number(&self) -> Cow<'_, JsonNumberValue> {
        Cow::Owned(match *self {
            Self::Whole(value) => value.into(),
            Self::Other(value) => JsonNumberValue::from_f64(value).unwrap_or_else(|| 0.into()),
        })
    }
}
