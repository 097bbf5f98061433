//! The JSON Schemas of the two documents, and what a document breaks of them, all at once.

mod faults;
#[cfg(test)]
pub(crate) mod generate;
mod sentences;
mod site;

use crate::codes::R13;
use crate::diagnostic::{Diagnostic, Place};
use crate::source::{Source, SourceId};
use crate::tree::Node;
use jsonschema::{PatternOptions, Validator};
use serde_json::Value as Json;
use std::sync::OnceLock;

/// The schema of an equipment document, JSON Schema draft 2020-12.
pub const EQUIPMENT_SCHEMA: &str = include_str!("../../../schemas/equipment.schema.json");

/// The schema of a procedure document, JSON Schema draft 2020-12.
pub const PROCEDURE_SCHEMA: &str = include_str!("../../../schemas/procedure.schema.json");

/// Which of the two documents.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    Equipment,
    Procedure,
}

impl Kind {
    /// The key that gives the document's name.
    pub(crate) fn key(self) -> &'static str {
        match self {
            Self::Equipment => "equipment",
            Self::Procedure => "procedure",
        }
    }
}

/// What a document breaks of its schema.
pub(crate) fn check(kind: Kind, tree: &Node, json: &Json, source: &Source, id: SourceId) -> Vec<Diagnostic> {
    match compiled(kind) {
        Ok(schema) => {
            let faults = faults::collect(schema, json);
            sentences::tell(faults, &site::Document { tree, source, id })
        }
        Err(fault) => vec![Diagnostic::error(
            R13,
            Place { source: id, span: tree.span },
            format!("the schema inside this program does not load, which is a fault of the program: {fault}"),
        )],
    }
}

/// A schema ready for use.
struct Compiled {
    json: Json,
    validator: Validator,
}

fn compiled(kind: Kind) -> Result<&'static Compiled, &'static str> {
    static EQUIPMENT: OnceLock<Result<Compiled, String>> = OnceLock::new();
    static PROCEDURE: OnceLock<Result<Compiled, String>> = OnceLock::new();
    let (cell, text) = match kind {
        Kind::Equipment => (&EQUIPMENT, EQUIPMENT_SCHEMA),
        Kind::Procedure => (&PROCEDURE, PROCEDURE_SCHEMA),
    };
    cell.get_or_init(|| compile(text)).as_ref().map_err(String::as_str)
}

fn compile(text: &str) -> Result<Compiled, String> {
    let json: Json = serde_json::from_str(text).map_err(|error| error.to_string())?;
    // The engine without backtracking: time grows with the text, never with the pattern.
    let validator = jsonschema::draft202012::options()
        .with_pattern_options(PatternOptions::regex())
        .build(&json)
        .map_err(|error| error.to_string())?;
    Ok(Compiled { json, validator })
}

impl Compiled {
    /// A part of the schema, references followed.
    fn at(&self, pointer: &str) -> Option<&Json> {
        self.follow(self.json.pointer(pointer)?)
    }

    /// A part of the schema that may be a reference to another; ends, because definitions only refer forward.
    fn follow<'a>(&'a self, part: &'a Json) -> Option<&'a Json> {
        let mut part = part;
        // A chain of references is never as long as this; one in a circle would not end.
        for _ in 0..8 {
            match part.get("$ref").and_then(Json::as_str) {
                Some(reference) => part = self.json.pointer(reference.strip_prefix('#')?)?,
                None => return Some(part),
            }
        }
        None
    }
}
