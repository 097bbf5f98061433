//! From documents to a machine.

mod contract;
mod steps;
mod tables;

use crate::machine::Machine;
use document::Library;
use document::model::Name;
use std::fmt;

/// How many nodes a machine may have: repeats and performed procedures are written out in full.
pub const NODE_LIMIT: usize = 1_000_000;

/// Why a procedure does not become a machine. Documents without findings only ever meet [`CompileError::TooLarge`].
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum CompileError {
    /// Written out in full it has more than [`NODE_LIMIT`] nodes.
    TooLarge,
    /// Something refers to nothing: `what` of that name, at that step.
    Unresolved {
        /// The step, or the document's name.
        at: String,
        /// What is referred to.
        what: String,
    },
}

impl fmt::Display for CompileError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooLarge => {
                write!(f, "written out in full, the procedure has more than {NODE_LIMIT} places")
            }
            Self::Unresolved { at, what } => write!(f, "`{at}` refers to {what}, which does not exist"),
        }
    }
}

impl std::error::Error for CompileError {}

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
    let (nodes, entry) =
        steps::Compiler::new(library, &equipment.model, &tables.layout).procedure(document)?;
    Ok(tables.into_machine(procedure.clone(), nodes, entry))
}
