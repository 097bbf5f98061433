//! From documents to a machine.

mod contract;
mod error;
mod moves;
mod outcomes;
mod resolve;
mod steps;
mod tables;

pub use error::{CompileError, NODE_LIMIT};

use crate::machine::Machine;
use document::Library;
use document::model::Name;

/// Compiles a procedure whose documents have no findings.
///
/// # Errors
/// When it is too large, or when its documents do have findings of the reading or names families.
pub fn compile(library: &Library, procedure: &Name) -> Result<Machine, CompileError> {
    let document = library.procedures.get(procedure).ok_or_else(|| CompileError::Unresolved {
        at: procedure.to_string(),
        what: "that procedure".to_owned(),
    })?;
    let equipment =
        library.equipment.get(&document.model.equipment).ok_or_else(|| CompileError::Unresolved {
            at: procedure.to_string(),
            what: format!("equipment `{}`", document.model.equipment),
        })?;
    let tables = tables::Tables::new(&equipment.model, &document.model)?;
    let steps = steps::Compiler::new(library, &equipment.model, &tables.layout).procedure(document)?;
    Ok(tables.into_machine(procedure.clone(), steps))
}
