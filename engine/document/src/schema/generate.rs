//! The schemas are generated from the typed model, so that editors, the reader and the program cannot disagree.

use crate::model::{Equipment, MAIN_KEYS, Procedure};
use schemars::transform::RecursiveTransform;
use schemars::{JsonSchema, Schema, generate::SchemaSettings};
use serde_json::{Value as Json, json};

/// Longest name, in characters: names stand in headings and in narrow columns.
const MAX_NAME: u32 = 64;

/// Conjunctions that would say nothing, or anything, if they were empty.
const CUBES_THAT_SAY_SOMETHING: [&str; 8] = [
    "Step/properties/confirm",
    "Repeat/properties/until",
    "Rule/properties/when",
    "Outcome/properties/shows",
    "Condition/properties/seen_when",
    "AnyOf/anyOf/0",
    "AnyOf/anyOf/1/items",
    "While/anyOf/1",
];

/// Every step has exactly one main key.
pub(crate) fn one_main_key(schema: &mut Schema) {
    let choices: Vec<Json> = MAIN_KEYS.iter().map(|key| json!({ "required": [key] })).collect();
    schema.insert("oneOf".to_owned(), Json::Array(choices));
}

fn generated<T: JsonSchema>(id: &str, title: &str) -> String {
    let mut schema = SchemaSettings::draft2020_12()
        .with_transform(RecursiveTransform(nothing_is_never_meant))
        .with_transform(RecursiveTransform(texts_and_numbers))
        .with_transform(RecursiveTransform(names_as_keys))
        .into_generator()
        .into_root_schema_for::<T>();
    for cube in CUBES_THAT_SAY_SOMETHING {
        if let Some(cube) = schema.pointer_mut(&format!("/$defs/{cube}")) {
            cube["minProperties"] = json!(1);
        }
    }
    if let Some(people) = schema.pointer_mut("/properties/performers") {
        people["minProperties"] = json!(1);
        people["additionalProperties"]["minimum"] = json!(1);
    }
    if let Some(values) = schema.pointer_mut("/properties/variants/additionalProperties") {
        values["minItems"] = json!(1);
        values["maxItems"] = json!(64);
    }
    // Each may have to be worked out for many variants.
    if let Some(amounts) = schema.pointer_mut("/properties/amounts") {
        amounts["maxProperties"] = json!(100);
    }
    schema.insert("$id".to_owned(), json!(id));
    schema.insert("title".to_owned(), json!(title));
    let mut text = serde_json::to_string_pretty(&schema).expect("a schema is plain JSON");
    text.push('\n');
    text
}

/// An optional key is left out; it is never given without a value.
fn nothing_is_never_meant(schema: &mut Schema) {
    let Some(object) = schema.as_object_mut() else { return };
    if let Some(Json::Array(types)) = object.get_mut("type") {
        types.retain(|name| name != "null");
        if let [only] = &types[..] {
            let only = only.clone();
            object.insert("type".to_owned(), only);
        }
    }
    if object.get("default") == Some(&Json::Null) {
        object.remove("default");
    }
    if let Some(Json::Array(choices)) = object.get_mut("anyOf") {
        choices.retain(|choice| *choice != json!({ "type": "null" }));
        if let [Json::Object(only)] = &choices[..] {
            let only = only.clone();
            object.remove("anyOf");
            object.extend(only);
        }
    }
}

/// A text says something, a count fits its type, and a name as a key is a name.
fn texts_and_numbers(schema: &mut Schema) {
    let Some(object) = schema.as_object_mut() else { return };
    if object.get("pattern").is_some_and(|pattern| pattern.as_str().is_some_and(|text| text.contains("a-z")))
    {
        object.insert("maxLength".to_owned(), json!(MAX_NAME));
    }
    let of_type = |name: &str| object.get("type").is_some_and(|found| found == name);
    if of_type("string") && !["pattern", "const", "enum"].iter().any(|key| object.contains_key(*key)) {
        object.insert("minLength".to_owned(), json!(1));
    } else if object.get("format").is_some_and(|format| format == "uint32") && !object.contains_key("maximum")
    {
        object.insert("maximum".to_owned(), json!(u32::MAX));
    }
}

/// A key that is no name is one fault, and what it holds is looked at all the same.
fn names_as_keys(schema: &mut Schema) {
    let Some(object) = schema.as_object_mut() else { return };
    let Some(Json::Object(patterns)) = object.get("patternProperties") else { return };
    if let [(pattern, value)] = &patterns.iter().collect::<Vec<_>>()[..] {
        let (pattern, value) = ((*pattern).clone(), (*value).clone());
        object.remove("patternProperties");
        object.insert("propertyNames".to_owned(), json!({ "pattern": pattern, "maxLength": MAX_NAME }));
        object.insert("additionalProperties".to_owned(), value);
    }
}

/// The committed files are what the model generates; `UPDATE_SCHEMAS=1` writes them anew.
#[test]
#[expect(clippy::disallowed_methods, reason = "the test compares and updates committed files")]
fn committed_schemas_are_current() {
    let files = [
        (
            "equipment.schema.json",
            generated::<Equipment>("equipment.schema.json", "Equipment"),
            super::EQUIPMENT_SCHEMA,
        ),
        (
            "procedure.schema.json",
            generated::<Procedure>("procedure.schema.json", "Procedure"),
            super::PROCEDURE_SCHEMA,
        ),
    ];
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../schemas");
    for (name, generated, committed) in files {
        if std::env::var_os("UPDATE_SCHEMAS").is_some() {
            std::fs::write(folder.join(name), &generated).expect("the schema is written");
        } else {
            assert!(
                generated == committed,
                "{name} is not current: run the test again with UPDATE_SCHEMAS=1"
            );
        }
    }
}
