//! The schema and the reader agree: what one accepts the other does.

use super::{EQUIPMENT, PROCEDURE};
use crate::model::{Equipment, Procedure};
use crate::schema::{EQUIPMENT_SCHEMA, Kind, PROCEDURE_SCHEMA, check};
use crate::source::{Source, SourceId};
use crate::tree::{Entry, Node, Value, parse};
use serde::de::DeserializeOwned;

/// The sample with the keys that would be faults of meaning in it.
fn every_key(sample: &str) -> String {
    let more = "  - id: more\n    perform: other\n  - id: least\n    measure: { what: w, instrument: i, at_least: 1 m }\n    \
                accept: { W16: It is known here. }\n";
    match sample == PROCEDURE {
        true => format!("{sample}{more}"),
        false => format!("{sample}{OF_EQUIPMENT}"),
    }
}

/// Keys that the other tests of equipment have no use for.
const OF_EQUIPMENT: &str = "writing: doe\nrelease: supervisor\nterms: { tank: [vat] }\naccept: { W16: It is known here. }\nenergy:\n  \
    mains: { source: \"Mains, 400 V\", isolated: { supply: isolated }, locked: { supply: isolated }, \
    stored: { hv: dissipated } }\n";

/// Everything that can stand in place of a value.
fn others() -> Vec<Value> {
    let node = |value| Node { span: crate::Span::default(), value };
    let entry =
        |key: &str, value| Entry { key: key.to_owned(), key_span: crate::Span::default(), node: node(value) };
    let text = |text: &str| Value::Text(text.to_owned());
    vec![
        Value::Null,
        Value::Bool(true),
        Value::Integer(0),
        Value::Integer(-1),
        Value::Integer(1 << 40),
        Value::Number(2.5),
        Value::Number(1e20),
        text(""),
        text("none"),
        text("x"),
        text("Not a name"),
        text("45 s"),
        Value::List(Vec::new()),
        Value::List(vec![node(text("a"))]),
        Value::List(vec![node(text("a")), node(Value::Integer(1))]),
        Value::Map(Vec::new()),
        Value::Map(vec![entry("a", text("b"))]),
        Value::Map(vec![entry("a", Value::List(vec![node(text("b"))]))]),
        Value::Map(vec![entry("a", Value::Map(vec![entry("b", text("c"))]))]),
        Value::Map(vec![
            entry("then", text("stop")),
            entry("shows", Value::Map(vec![entry("b", text("c"))])),
        ]),
    ]
}

/// Every document that differs from this one in one value, one missing key or one more key.
fn variations(node: &Node, found: &mut Vec<Node>, rebuild: &dyn Fn(Node) -> Node) {
    for value in others() {
        found.push(rebuild(Node { span: node.span, value }));
    }
    match &node.value {
        Value::List(items) => {
            for (at, item) in items.iter().enumerate() {
                let with = |new: Node| {
                    let mut items = items.clone();
                    items[at] = new;
                    rebuild(Node { span: node.span, value: Value::List(items) })
                };
                variations(item, found, &with);
            }
        }
        Value::Map(entries) => {
            for (at, entry) in entries.iter().enumerate() {
                let mut fewer = entries.clone();
                fewer.remove(at);
                found.push(rebuild(Node { span: node.span, value: Value::Map(fewer) }));
                let mut renamed = entries.clone();
                renamed[at].key = format!("{} x", entry.key);
                found.push(rebuild(Node { span: node.span, value: Value::Map(renamed) }));
                let with = |new: Node| {
                    let mut entries = entries.clone();
                    entries[at].node = new;
                    rebuild(Node { span: node.span, value: Value::Map(entries) })
                };
                variations(&entry.node, found, &with);
            }
        }
        _ => {}
    }
}

fn agree<T: DeserializeOwned + PartialEq + std::fmt::Debug>(kind: Kind, text: &str, schema: &str) {
    let source = Source::new("a.yaml", every_key(text));
    let tree = parse(&source, SourceId(0)).expect("the sample is well-formed");
    let schema: serde_json::Value = serde_json::from_str(schema).expect("the schema is JSON");
    let validator = jsonschema::draft202012::new(&schema).expect("the schema is a schema");
    let mut all = vec![tree.clone()];
    variations(&tree, &mut all, &|node| node);
    assert!(all.len() > 2_000, "{}", all.len());
    let mut accepted = 0;
    for tree in &all {
        let json = tree.to_json();
        let valid = validator.is_valid(&json);
        let told = check(kind, tree, &source, SourceId(0));
        assert_eq!(
            valid,
            told.is_empty(),
            "what the schema refuses is told, and nothing else: {json} {told:?}"
        );
        if valid {
            accepted += 1;
            match (T::deserialize(tree), serde_json::from_value::<T>(json.clone())) {
                (Ok(read), Ok(of_json)) => assert_eq!(read, of_json, "{json}"),
                (read, of_json) => {
                    panic!("the schema accepts what the reader does not, {read:?} {of_json:?}: {json}")
                }
            }
        }
    }
    assert!(accepted > 100, "{accepted} variations are right");
}

#[test]
fn on_equipment() {
    agree::<Equipment>(Kind::Equipment, EQUIPMENT, EQUIPMENT_SCHEMA);
}

#[test]
fn on_procedures() {
    agree::<Procedure>(Kind::Procedure, PROCEDURE, PROCEDURE_SCHEMA);
}

/// Every key of the model occurs in what is compared, so that none is left out of the comparison.
#[test]
fn the_samples_use_every_key() {
    fn keys(node: &Node, found: &mut std::collections::BTreeSet<String>) {
        match &node.value {
            Value::List(items) => items.iter().for_each(|item| keys(item, found)),
            Value::Map(entries) => {
                for entry in entries {
                    found.insert(entry.key.clone());
                    keys(&entry.node, found);
                }
            }
            _ => {}
        }
    }
    for (text, schema) in [(EQUIPMENT, EQUIPMENT_SCHEMA), (PROCEDURE, PROCEDURE_SCHEMA)] {
        let mut used = std::collections::BTreeSet::new();
        keys(
            &parse(&Source::new("a.yaml", every_key(text)), SourceId(0)).expect("the sample is well-formed"),
            &mut used,
        );
        let schema: serde_json::Value = serde_json::from_str(schema).expect("the schema is JSON");
        let parts = schema["$defs"].as_object().expect("definitions").values().chain([&schema]);
        for key in
            parts.filter_map(|part| part["properties"].as_object()).flat_map(|properties| properties.keys())
        {
            assert!(used.contains(key), "the sample has no `{key}`");
        }
    }
}
