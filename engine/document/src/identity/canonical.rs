//! One form for all ways to write the same document.

use serde_json::{Map, Value as Json};

/// Keys whose values are conjunctions: there `live` and `[live]` say the same.
const CUBES: [&str; 12] = [
    "requires",
    "leaves",
    "confirm",
    "until",
    "shows",
    "when",
    "only",
    "lost_when",
    "seen_when",
    "while",
    "safe_state",
    "performers",
];

/// A document with keys in order, texts with single spaces, and without keys that say nothing. What an act leaves keeps
/// its order, in which it comes about; what the whole procedure leaves is a promise, and has none.
pub(super) fn canonical(document: Json) -> Json {
    part(document, true)
}

fn part(json: Json, whole: bool) -> Json {
    match json {
        Json::Object(map) => {
            let mut entries: Vec<(String, Json)> = map
                .into_iter()
                .map(|(key, value)| {
                    let value = match value {
                        Json::Object(act) if key == "leaves" && !whole => {
                            Json::Object(act.into_iter().map(|(name, to)| (name, part(to, false))).collect())
                        }
                        other => part(other, false),
                    };
                    let value = if CUBES.contains(&key.as_str()) { single(value) } else { value };
                    (key, value)
                })
                .filter(|(key, value)| !says_nothing(key, value))
                .collect();
            entries.sort_by(|a, b| a.0.cmp(&b.0));
            Json::Object(entries.into_iter().collect())
        }
        Json::Array(items) => Json::Array(items.into_iter().map(|item| part(item, false)).collect()),
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

/// A conjunction with lists of one value as that value, and a list of one conjunction as that conjunction.
fn single(cube: Json) -> Json {
    let alone = |value| match value {
        Json::Array(mut items) if items.len() == 1 => items.remove(0),
        other => other,
    };
    match cube {
        Json::Object(map) => {
            Json::Object(map.into_iter().map(|(name, values)| (name, alone(values))).collect::<Map<_, _>>())
        }
        Json::Array(cubes) if cubes.iter().all(Json::is_object) => {
            alone(Json::Array(cubes.into_iter().map(single).collect()))
        }
        other => other,
    }
}

/// What a key means when it is left out.
fn says_nothing(key: &str, value: &Json) -> bool {
    match value {
        Json::Array(items) => items.is_empty(),
        Json::Object(map) => map.is_empty(),
        Json::Bool(false) => ["restores", "keeps"].contains(&key),
        Json::Number(number) => key == "retests" && number.as_u64() == Some(0),
        _ => false,
    }
}
