//! Why a card cannot be put on paper.

use std::fmt;

/// Why a card cannot be put on paper.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Error {
    /// None of the fonts has the character: a blank box in its place would be read as nothing.
    NoGlyph {
        /// The character.
        character: char,
        /// Where it stands, in words.
        place: String,
    },
    /// The file was refused as not conforming to PDF/UA-1 and PDF/A-2a, or could not be written: a fault of ours.
    Fault(String),
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoGlyph { character, place } => write!(
                f,
                "the character `{character}` (U+{:04X}) in {place} is in none of the fonts for paper: write it in other words, \
                 or use another form of the card",
                u32::from(*character)
            ),
            Self::Fault(what) => write!(f, "the PDF cannot be made: {what}"),
        }
    }
}

impl std::error::Error for Error {}
