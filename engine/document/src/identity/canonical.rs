//! One form for all ways to write the same document.

use serde_json::{Map, Value as Json};

/// Keys whose values are conjunctions: there `live` and `[live]` say the same.
const CUBES: [&str; 10] = [
    "requires",
    "leaves",
    "confirm",
    "until",
    "shows",
    "when",
    "only",
    "lost_when",
    "safe_state",
    "performers",
];

/// The same value with keys in order, texts with single spaces, and without keys that say nothing.
pub(super) fn canonical(json: Json) -> Json {
    match json {
        Json::Object(map) => {
            let mut entries: Vec<(String, Json)> = map
                .into_iter()
                .map(|(key, value)| {
                    let value = canonical(value);
                    let value = if CUBES.contains(&key.as_str()) { single(value) } else { value };
                    (key, value)
                })
                .filter(|(key, value)| !says_nothing(key, value))
                .collect();
            entries.sort_by(|a, b| a.0.cmp(&b.0));
            Json::Object(entries.into_iter().collect())
        }
        Json::Array(items) => Json::Array(items.into_iter().map(canonical).collect()),
        Json::String(text) => {
            let lines: Vec<String> = text.trim().lines().map(spaced).collect();
            Json::String(lines.join("\n"))
        }
        other => other,
    }
}

/// A line with one space between words and none at its end; space at its beginning is Markdown's.
fn spaced(line: &str) -> String {
    let words = line.trim_start();
    let indent = &line[..line.len() - words.len()];
    format!("{indent}{}", words.split_whitespace().collect::<Vec<_>>().join(" "))
}

/// A conjunction with lists of one value as that value.
fn single(cube: Json) -> Json {
    let Json::Object(map) = cube else { return cube };
    let entries = map.into_iter().map(|(name, values)| match values {
        Json::Array(mut items) if items.len() == 1 => (name, items.remove(0)),
        other => (name, other),
    });
    Json::Object(entries.collect::<Map<_, _>>())
}

/// What a key means when it is left out.
fn says_nothing(key: &str, value: &Json) -> bool {
    match value {
        Json::Array(items) => items.is_empty(),
        Json::Object(map) => map.is_empty(),
        Json::Bool(false) => key == "restores",
        Json::Number(number) => key == "retests" && number.as_u64() == Some(0),
        _ => false,
    }
}
