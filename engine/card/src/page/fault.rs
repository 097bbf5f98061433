//! Why there is no card, and what cannot be printed on one.

use super::chosen::ChoiceError;
use document::SourceId;
use document::model::Name;
use machine::CompileError;
use std::fmt;

/// Why there is no card.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PageError {
    /// The library has no such procedure.
    NoProcedure(Name),
    /// The library has no such equipment.
    NoEquipment {
        /// The procedure.
        procedure: Name,
        /// What it works on.
        equipment: Name,
    },
    /// The procedure does not become a machine.
    NotCompiled {
        /// The procedure.
        procedure: Name,
        /// Why not.
        error: CompileError,
    },
    /// The variants chosen fit no machine.
    Choice(ChoiceError),
    /// Texts or figures cannot be printed; at least one.
    Texts(Vec<TextFault>),
}

/// A text or a figure that cannot be printed.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct TextFault {
    /// The document.
    pub source: SourceId,
    /// JSON pointer to the text.
    pub pointer: String,
    /// What is wrong, in a sentence without its full stop.
    pub message: String,
}

impl fmt::Display for PageError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoProcedure(name) => write!(f, "there is no procedure `{name}` to make a card of"),
            Self::NoEquipment { procedure, equipment } => {
                write!(
                    f,
                    "there is no card of `{procedure}`: its equipment `{equipment}` is not there; add its document"
                )
            }
            Self::NotCompiled { procedure, error } => write!(f, "there is no card of `{procedure}`: {error}"),
            Self::Choice(error) => write!(f, "there is no card for that machine: {error}"),
            Self::Texts(faults) => {
                let (text, more) = match faults.split_first() {
                    Some((first, rest)) => (format!("at `{}`: {}", first.pointer, first.message), rest.len()),
                    None => (String::new(), 0),
                };
                write!(f, "the card cannot be printed: {text}")?;
                if more > 0 { write!(f, " (and {more} more)") } else { Ok(()) }
            }
        }
    }
}

impl std::error::Error for PageError {}
