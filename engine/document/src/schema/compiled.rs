//! The two schemas, ready to judge a tree.

use super::tree::Tree;
use jsonschema::{Draft, PatternOptions, Validator};
use serde_json::Value as Json;
use std::sync::OnceLock;

/// The schema of an equipment document, JSON Schema draft 2020-12.
pub const EQUIPMENT_SCHEMA: &str = include_str!("../../../../schemas/equipment.schema.json");

/// The schema of a procedure document, JSON Schema draft 2020-12.
pub const PROCEDURE_SCHEMA: &str = include_str!("../../../../schemas/procedure.schema.json");

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

/// A schema ready for use.
pub(super) struct Compiled {
    pub(super) json: Json,
    /// Says of a tree whether all is well, as it nearly always is.
    pub(super) validator: Validator<Tree>,
    /// Tells what is not, made once something is not.
    teller: OnceLock<Result<Validator, String>>,
}

pub(super) fn compiled(kind: Kind) -> Result<&'static Compiled, &'static str> {
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
    let validator = jsonschema::options_for::<Tree>()
        .with_draft(Draft::Draft202012)
        .with_pattern_options(PatternOptions::regex())
        .build(&json)
        .map_err(|error| error.to_string())?;
    Ok(Compiled { json, validator, teller: OnceLock::new() })
}

impl Compiled {
    /// The validator whose faults know their places in the schema.
    pub(super) fn teller(&self) -> Result<&Validator, &String> {
        let build = || {
            jsonschema::draft202012::options()
                .with_pattern_options(PatternOptions::regex())
                .build(&self.json)
                .map_err(|error| error.to_string())
        };
        self.teller.get_or_init(build).as_ref()
    }

    /// A part of the schema, references followed.
    pub(super) fn at(&self, pointer: &str) -> Option<&Json> {
        self.follow(self.json.pointer(pointer)?)
    }

    /// A part of the schema that may be a reference to another; ends, because definitions only refer forward.
    pub(super) fn follow<'a>(&'a self, part: &'a Json) -> Option<&'a Json> {
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
