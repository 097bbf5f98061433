//! Why a procedure does not become a machine.

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

pub(super) fn unresolved(at: &str, what: String) -> CompileError {
    CompileError::Unresolved { at: at.to_owned(), what }
}
