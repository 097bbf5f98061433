//! What the validator found, brought to one fault each, the cause picked out of alternatives.

use super::compiled::Compiled;
use crate::limits::MAX_FINDINGS;
use jsonschema::ValidationError;
use jsonschema::error::{TypeKind, ValidationErrorKind};
use serde_json::Value as Json;
use std::collections::BTreeSet;

/// One fault of shape.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Fault {
    /// Pointer to the value at fault, or to the map at fault for keys.
    pub(super) at: String,
    /// What is wrong with it.
    pub(super) what: What,
}

/// The kinds of faults of shape.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum What {
    /// A key that has no meaning there, with those that have.
    Unknown { key: String, known: Vec<String> },
    /// A key that is not a name.
    NoName { key: String },
    /// A missing key.
    Missing { key: String },
    /// Another kind of value was expected.
    Kind { expected: String },
    /// Not one of the words.
    Word { allowed: Vec<String> },
    /// A text not of the form.
    Form { pattern: String },
    /// No main key, or several.
    MainKey,
    /// Too few, too many, too small, too large, as a sentence without its subject.
    Measure { sentence: String },
}

/// All faults of a document, up to one more than are told.
pub(super) fn collect<'s>(schema: &'s Compiled, json: &Json) -> Result<Vec<Fault>, &'s String> {
    let mut faults = Vec::new();
    for error in schema.teller()?.iter_errors(json) {
        read_error(schema, &error, &mut faults);
        if faults.len() > MAX_FINDINGS {
            break;
        }
    }
    Ok(settle(faults))
}

/// Reads one error of the judge into the faults that people are told.
fn read_error(schema: &Compiled, error: &ValidationError<'_>, faults: &mut Vec<Fault>) {
    use ValidationErrorKind as K;
    let at = error.instance_path().as_str().to_owned();
    let keyword = error.schema_path().as_str();
    let parent = || keyword.rsplit_once('/').and_then(|(parent, _)| schema.at(parent));
    let what = match error.kind() {
        K::AdditionalProperties { unexpected } => {
            let known: Vec<String> = parent()
                .and_then(|part| part.get("properties"))
                .and_then(Json::as_object)
                .map(|properties| {
                    // What is there already was not meant again.
                    let absent = |key: &&String| error.instance().get(key.as_str()).is_none();
                    properties.keys().filter(absent).cloned().collect()
                })
                .unwrap_or_default();
            faults.extend(unexpected.iter().take(MAX_FINDINGS + 1).map(|key| Fault {
                at: at.clone(),
                what: What::Unknown { key: key.clone(), known: known.clone() },
            }));
            return;
        }
        K::PropertyNames { error } => {
            What::NoName { key: error.instance().as_str().unwrap_or_default().to_owned() }
        }
        K::Required { property } => What::Missing { key: property.as_str().unwrap_or_default().to_owned() },
        K::Type { kind } => What::Kind { expected: types(kind) },
        K::Constant { expected_value } => What::Word { allowed: vec![word(expected_value)] },
        K::Enum { options } => {
            What::Word { allowed: options.as_array().into_iter().flatten().map(word).collect() }
        }
        K::Pattern { pattern } => What::Form { pattern: pattern.clone() },
        K::OneOfMultipleValid { .. } => What::MainKey,
        K::OneOfNotValid { context } | K::AnyOf { context } => {
            let branches = schema.at(keyword).and_then(Json::as_array).map(Vec::as_slice).unwrap_or_default();
            if branches.iter().all(|branch| branch.get("required").is_some()) {
                What::MainKey
            } else {
                match alternatives(schema, branches, error.instance(), context) {
                    Choice::Follow(errors) => {
                        errors.iter().for_each(|error| read_error(schema, error, faults));
                        return;
                    }
                    Choice::Tell(what) => what,
                }
            }
        }
        K::MinItems { limit } | K::MinProperties { limit } => {
            What::Measure { sentence: format!("needs at least {}", entries(*limit)) }
        }
        K::MaxItems { limit } | K::MaxProperties { limit } => {
            What::Measure { sentence: format!("may have at most {}", entries(*limit)) }
        }
        K::MinLength { .. } => What::Measure { sentence: "is empty".to_owned() },
        K::MaxLength { limit } => What::Measure { sentence: format!("may have at most {limit} characters") },
        K::Minimum { limit } => What::Measure { sentence: format!("has to be at least {limit}") },
        K::Maximum { limit } => What::Measure { sentence: format!("has to be at most {limit}") },
        other => What::Measure { sentence: format!("breaks the rule `{}` of the schema", other.keyword()) },
    };
    faults.push(Fault { at, what });
}

enum Choice<'a> {
    Follow(&'a [ValidationError<'static>]),
    Tell(What),
}

/// Of alternatives, only the one meant for this kind of value says what is wrong with it.
fn alternatives<'a>(
    schema: &Compiled,
    branches: &[Json],
    instance: &Json,
    context: &'a [Vec<ValidationError<'static>>],
) -> Choice<'a> {
    let words: Option<Vec<String>> = branches.iter().map(|branch| branch.get("const").map(word)).collect();
    if let Some(allowed) = words {
        return Choice::Tell(match instance {
            Json::String(_) => What::Word { allowed },
            _ => What::Kind { expected: "a word".to_owned() },
        });
    }
    let meant: Vec<usize> = (0..branches.len())
        .filter(|&at| {
            let branch = schema.follow(&branches[at]);
            branch.and_then(|branch| branch.get("type")).and_then(Json::as_str) == Some(type_name(instance))
        })
        .collect();
    if let [at] = meant[..]
        && let Some(errors) = context.get(at)
    {
        return Choice::Follow(errors);
    }
    let expected: Vec<String> = branches.iter().map(|branch| describe(schema, branch)).collect();
    Choice::Tell(What::Kind { expected: expected.join(" or ") })
}

fn type_name(value: &Json) -> &'static str {
    match value {
        Json::Null => "null",
        Json::Bool(_) => "boolean",
        Json::Number(_) => "number",
        Json::String(_) => "string",
        Json::Array(_) => "array",
        Json::Object(_) => "object",
    }
}

fn describe(schema: &Compiled, part: &Json) -> String {
    let Some(part) = schema.follow(part) else { return "another value".to_owned() };
    if let Some(choices) = part.get("oneOf").or_else(|| part.get("anyOf")).and_then(Json::as_array) {
        let choices: Vec<String> = choices.iter().map(|choice| describe(schema, choice)).collect();
        return choices.join(" or ");
    }
    match (part.get("const"), part.get("type").and_then(Json::as_str)) {
        (Some(constant), _) => format!("the word `{}`", word(constant)),
        (None, Some("array")) => match part.get("items").map(|items| describe(schema, items)) {
            Some(items) if items == "text" => "a list of texts".to_owned(),
            Some(items) if items == "a name" => "a list of names".to_owned(),
            _ => "a list".to_owned(),
        },
        (None, Some("string")) if part.get("pattern").is_some() => "a name".to_owned(),
        (None, Some(name)) => kind(name).to_owned(),
        (None, None) => "another value".to_owned(),
    }
}

fn kind(name: &str) -> &'static str {
    match name {
        "string" => "text",
        "integer" => "a whole number",
        "number" => "a number",
        "boolean" => "`true` or `false`",
        "array" => "a list",
        "object" => "a map",
        _ => "nothing",
    }
}

fn types(kind_found: &TypeKind) -> String {
    match kind_found {
        TypeKind::Single(one) => kind(&one.to_string()).to_owned(),
        TypeKind::Multiple(set) => {
            let names: Vec<&str> = set.iter().map(|one| kind(one.as_str())).collect();
            names.join(" or ")
        }
    }
}

fn entries(limit: u64) -> String {
    if limit == 1 { "one entry".to_owned() } else { format!("{limit} entries") }
}

fn word(value: &Json) -> String {
    value.as_str().map_or_else(|| value.to_string(), str::to_owned)
}

/// One mistake, one fault: a misspelt key is not missing as well, nor does its step lack a main key, nor does
/// what is no map at all.
fn settle(faults: Vec<Fault>) -> Vec<Fault> {
    let mut misspelt: BTreeSet<(String, String)> = BTreeSet::new();
    let mut without_kind: BTreeSet<String> = BTreeSet::new();
    for fault in &faults {
        if matches!(fault.what, What::Kind { .. }) {
            without_kind.insert(fault.at.clone());
        }
        if let What::Unknown { key, known } = &fault.what
            && let Some(near) = calc::nearest(key, known.iter().map(String::as_str))
        {
            misspelt.insert((fault.at.clone(), near.to_owned()));
            if crate::model::MAIN_KEYS.contains(&near) {
                without_kind.insert(fault.at.clone());
            }
        }
    }
    faults
        .into_iter()
        .filter(|fault| match &fault.what {
            What::Missing { key } => !misspelt.contains(&(fault.at.clone(), key.clone())),
            What::MainKey => !without_kind.contains(&fault.at),
            What::Unknown { .. }
            | What::NoName { .. }
            | What::Kind { .. }
            | What::Word { .. }
            | What::Form { .. }
            | What::Measure { .. } => true,
        })
        .collect()
}
