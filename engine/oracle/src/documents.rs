//! Documents made by a program: JSON is YAML, and what is printed of a failure can be checked from a file.

use document::{InputFile, Library};
use serde_json::{Map, Value, json};

/// Equipment `rig` with these conditions and rules. The purge takes 5 s with the small tip and 15 s with the large one.
#[must_use]
pub fn equipment(conditions: Value, rules: Value) -> Value {
    json!({
        "equipment": "rig", "title": "A rig", "revision": 1,
        "variants": { "tip": ["small", "large"] },
        "conditions": conditions, "never": rules, "roles": { "technician": "Works on the rig." },
        "work": { "near": { "requires": {} }, "far": { "requires": {} } },
        "actions": { "act": { "do": "Act." } },
        "hazards": { "harm": {
            "worst": "minor", "certainty": "could", "hazard": "Harm", "consequence": "Harm comes.", "avoid": "Keep off."
        } },
        "instruments": { "gauge": { "unit": "V", "resolution": "0.1 V" } },
        "amounts": { "purge": {
            "method": "line-purge", "bore": "10 mm", "length": "1 m", "volumes": 1, "round_up": "5 s",
            "flow": { "$tip": { "small": "1 L/min", "large": "0.35 L/min" } }
        } }
    })
}

/// A procedure of that equipment.
#[must_use]
pub fn procedure(name: &str, requires: Value, leaves: Value, steps: Value) -> Value {
    json!({
        "procedure": name, "title": "A procedure", "equipment": "rig", "revision": 1, "purpose": "Work.",
        "scope": "The rig.", "performers": { "technician": 1 }, "time": "5 min", "level_of_use": "continuous",
        "tools": "none", "supplies": "none", "spares": "none", "wear": "none",
        "requires": requires, "leaves": leaves, "steps": steps
    })
}

/// Reads the documents as files.
///
/// # Errors
/// The first finding that is an error, as text.
pub fn library(documents: &[&Value]) -> Result<Library, String> {
    let texts: Vec<String> = documents.iter().map(ToString::to_string).collect();
    read(&texts.iter().map(String::as_str).collect::<Vec<_>>())
}

/// The same of texts.
pub(crate) fn read(texts: &[&str]) -> Result<Library, String> {
    let file = |(at, text): (usize, &&str)| InputFile {
        name: format!("{at}.yaml"),
        bytes: text.as_bytes().to_vec(),
    };
    let reading = document::read(&texts.iter().enumerate().map(file).collect::<Vec<_>>());
    match reading.findings.iter().find(|finding| finding.severity == document::Severity::Error) {
        None => Ok(reading.library),
        Some(finding) => Err(format!("{} {} {:?}", finding.code, finding.message, finding.help)),
    }
}

/// All documents as text, for a failing test.
#[must_use]
pub fn shown(documents: &[&Value]) -> String {
    documents.iter().map(|document| format!("{document:#}")).collect::<Vec<_>>().join("\n---\n")
}

/// Adds keys to a step.
pub(crate) fn with(step: Value, more: Value) -> Value {
    let (Value::Object(step), Value::Object(more)) = (step, more) else { unreachable!("maps") };
    Value::Object(step.into_iter().chain(more).collect::<Map<_, _>>())
}
