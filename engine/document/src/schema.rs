//! The JSON Schemas of the two documents, and what a document breaks of them, all at once.

mod compiled;
mod faults;
#[cfg(test)]
pub(crate) mod generate;
mod sentences;
mod site;
mod tree;

use crate::codes::R13;
use crate::diagnostic::{Diagnostic, Place};
use crate::source::{Source, SourceId};
use crate::tree::Node;
use compiled::compiled;

pub(crate) use compiled::Kind;
pub use compiled::{EQUIPMENT_SCHEMA, PROCEDURE_SCHEMA};

/// What a document breaks of its schema.
pub(crate) fn check(kind: Kind, tree: &Node, source: &Source, id: SourceId) -> Vec<Diagnostic> {
    let faults = compiled(kind).and_then(|schema| match schema.validator.is_valid(tree) {
        true => Ok(Vec::new()),
        false => faults::collect(schema, &tree.to_json()).map_err(String::as_str),
    });
    match faults {
        Ok(faults) => sentences::tell(faults, &site::Document { tree, source, id }),
        Err(fault) => vec![Diagnostic::error(
            R13,
            Place { source: id, span: tree.span },
            format!("the schema inside this program does not load, which is a fault of the program: {fault}"),
        )],
    }
}
