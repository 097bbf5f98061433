//! Faults of shape in plain sentences, each at the place where a person mends it.

use super::faults::{Fault, What};
use super::site::{Document, Site};
use crate::codes::{R11, R12, R13, R14, R15, R16};
use crate::diagnostic::Diagnostic;
use crate::limits::{MAX_FINDINGS, too_many};
use crate::model::MAIN_KEYS;
use crate::tree::{Entry, Value};
use crate::words::{all_of, any_of, meant, short};
use calc::nearest;

/// The keys whose values are figures: there a bare number lacks its unit.
const FIGURES: [&str; 12] = [
    "after",
    "at_least",
    "at_most",
    "for",
    "lapses",
    "limit",
    "pitch",
    "resolution",
    "time",
    "torque",
    "uncertainty",
    "unit",
];

const NAMES: &str =
    "names are lower-case words joined by `-`, such as `outlet-valve`, of at most 64 characters";

/// One finding a fault, in the order of the document.
pub(super) fn tell(faults: Vec<Fault>, document: &Document<'_>) -> Vec<Diagnostic> {
    let mut found: Vec<Diagnostic> = faults.iter().map(|fault| finding(fault, document)).collect();
    found.sort_by_key(|finding| (finding.place.span, finding.code));
    found.dedup();
    if found.len() > MAX_FINDINGS {
        found.truncate(MAX_FINDINGS);
        found.push(too_many(document.id));
    }
    found
}

fn finding(fault: &Fault, document: &Document<'_>) -> Diagnostic {
    let site = document.site(&fault.at);
    let here = document.place(site.shown());
    let key_of = |key: &str| document.place(site.node.get(key).map_or(site.shown(), |entry| entry.key_span));
    match &fault.what {
        What::Unknown { key, known } => {
            let known: Vec<&str> = known.iter().map(String::as_str).collect();
            let finding = Diagnostic::error(
                R11,
                key_of(key),
                format!("the key `{}` is unknown in {}", short(key), site.name()),
            );
            match meant(key, known) {
                Some(help) => finding.help(help),
                None => finding.help("delete it"),
            }
        }
        What::NoName { key } => {
            Diagnostic::error(R14, key_of(key), format!("`{}` is not a name", short(key))).help(NAMES)
        }
        What::Missing { key } => {
            Diagnostic::error(R12, here, format!("the key `{key}` is missing in {}", site.name()))
                .help(format!("add `{key}:` with its value"))
        }
        What::Kind { expected } => {
            let finding = Diagnostic::error(
                R13,
                here,
                format!("expected {expected} for {}, found {}", site.name(), document.shown(site.node)),
            );
            match kind_help(&site, expected, document) {
                Some(help) => finding.help(help),
                None => finding,
            }
        }
        What::Word { allowed } => {
            let word = site.node.text().unwrap_or_default();
            let known: Vec<&str> = allowed.iter().map(String::as_str).collect();
            let finding = Diagnostic::error(
                R15,
                here,
                format!("`{}` cannot stand for {}: it is {}", short(word), site.name(), any_of(&known)),
            );
            match nearest(word, known.iter().copied()) {
                Some(near) => finding.help(format!("did you mean `{near}`?")),
                None => finding,
            }
        }
        What::Form { pattern } => {
            let word = short(site.node.text().unwrap_or_default());
            if pattern.contains("a-z") {
                Diagnostic::error(R14, here, format!("`{word}` is not a name")).help(NAMES)
            } else {
                Diagnostic::error(R14, here, format!("`{word}` is not a day"))
                    .help("a day is written year, month, day: `2026-11-02`")
            }
        }
        What::MainKey => main_key(&site, document),
        What::Measure { sentence } => {
            let finding = Diagnostic::error(R13, here, format!("{} {sentence}", site.name()));
            match site.key.map(|entry| &*entry.key) {
                Some("tools" | "supplies" | "spares" | "wear") if site.step.is_none() => {
                    finding.help("write `none` if nothing is needed")
                }
                _ => finding,
            }
        }
    }
}

/// A step without a main key, or with several.
fn main_key(site: &Site<'_>, document: &Document<'_>) -> Diagnostic {
    let present: Vec<&Entry> =
        site.node.entries().iter().filter(|entry| MAIN_KEYS.contains(&entry.key.as_str())).collect();
    let place = document.place(present.get(1).map_or(site.shown(), |entry| entry.key_span));
    match &present[..] {
        [first, _, ..] => {
            let names: Vec<&str> = present.iter().map(|entry| entry.key.as_str()).collect();
            Diagnostic::error(
                R16,
                place,
                format!("{} has {} main keys: {}", site.name(), names.len(), all_of(names)),
            )
            .note(document.place(first.key_span), "the first")
            .help("a step is of one kind: make a step of each")
        }
        _ => Diagnostic::error(
            R16,
            place,
            format!("{} has no main key, which would say its kind", site.name()),
        )
        .help(format!("add one of {}", any_of(MAIN_KEYS))),
    }
}

fn kind_help(site: &Site<'_>, expected: &str, document: &Document<'_>) -> Option<String> {
    let written = document.text(site.node.span);
    let figure = site.key.is_some_and(|entry| FIGURES.contains(&entry.key.as_str()));
    match &site.node.value {
        Value::Integer(_) | Value::Number(_) if figure => {
            Some("a figure needs its unit, such as `45 s`".to_owned())
        }
        Value::Integer(_) | Value::Number(_) | Value::Bool(_) if expected.contains("text") => {
            Some(format!("if it is meant as text, put it in quotes: `\"{written}\"`"))
        }
        Value::Text(_) if expected.contains("a list") => {
            Some(format!("put it in brackets: `[{}]`", short(written)))
        }
        Value::Null => Some("write the value, or delete the key".to_owned()),
        Value::Map(_) if expected.contains("text") => {
            Some("a text that holds `: ` or begins with `{` needs quotes".to_owned())
        }
        Value::List(_) if expected.contains("text") => {
            Some("a text that begins with `[` or `- ` needs quotes".to_owned())
        }
        Value::Bool(_)
        | Value::Integer(_)
        | Value::Number(_)
        | Value::Text(_)
        | Value::List(_)
        | Value::Map(_) => None,
    }
}
