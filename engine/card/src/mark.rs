//! The mark of a card: a short text that says which content the card was made of, also as a QR code.
//!
//! The text is `gatewright-card 1 ID REVISION CONTENT`: four words and the version of this form, parted by single
//! spaces. ID is the procedure's name, REVISION its revision as a decimal number, CONTENT its content hash (SHA-256 in
//! 64 hexadecimal digits). A card in hand is compared with the documents by [`Mark::compare`].

mod code;
mod verdict;

pub use code::Code;
pub use verdict::{Difference, Verdict};

use serde::Serialize;
use std::fmt;

/// The first word: whose text it is.
const WORD: &str = "gatewright-card";
/// The version of the form of the text.
const FORM: &str = "1";
/// A longer text is no mark: the longest name a document may have, and room.
const LENGTH_MOST: usize = 400;

/// Which content a card was made of.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Mark {
    /// The procedure's name.
    pub id: String,
    /// Its revision.
    pub revision: u32,
    /// The hash of its content.
    pub content: String,
}

/// Why a text is no mark.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MarkError {
    /// It does not begin as a mark does.
    NoMark,
    /// It is a mark of another form than this program writes.
    OtherForm,
    /// It has not four parts after its first word.
    Parts,
    /// The revision is no number.
    Revision,
    /// The content is not 64 hexadecimal digits.
    Content,
}

impl fmt::Display for MarkError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::NoMark => {
                "the text is no card's mark: it begins with `gatewright-card 1`; scan the square code again, or copy \
                 the line beside it"
            }
            Self::OtherForm => "the mark is of another form than `gatewright-card 1`: another version of the program made it",
            Self::Parts => "the mark is not whole: after `gatewright-card 1` stand name, revision and content, parted by spaces",
            Self::Revision => "the mark's revision is no whole number: copy it again",
            Self::Content => "the mark's content is not 64 hexadecimal digits: copy it again",
        })
    }
}

impl std::error::Error for MarkError {}

impl fmt::Display for Mark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{WORD} {FORM} {} {} {}", self.id, self.revision, self.content)
    }
}

impl Mark {
    /// Reads a mark as it was scanned or copied from paper: any spaces or line ends between its words will do, also
    /// inside the content, which paper breaks into lines.
    ///
    /// # Errors
    /// [`MarkError`] says which part is at fault.
    pub fn parse(text: &str) -> Result<Self, MarkError> {
        if text.len() > LENGTH_MOST {
            return Err(MarkError::NoMark);
        }
        let mut words = text.split_whitespace();
        if words.next() != Some(WORD) {
            return Err(MarkError::NoMark);
        }
        match words.next() {
            Some(FORM) => {}
            Some(_) => return Err(MarkError::OtherForm),
            None => return Err(MarkError::Parts),
        }
        let (Some(id), Some(revision)) = (words.next(), words.next()) else { return Err(MarkError::Parts) };
        let content: String = words.collect();
        if content.is_empty() {
            return Err(MarkError::Parts);
        }
        let plain_number = revision.bytes().all(|digit| digit.is_ascii_digit());
        let revision = revision.parse().ok().filter(|_| plain_number).ok_or(MarkError::Revision)?;
        if content.len() != 64 || !content.bytes().all(|digit| digit.is_ascii_hexdigit()) {
            return Err(MarkError::Content);
        }
        Ok(Self { id: id.to_owned(), revision, content: content.to_ascii_lowercase() })
    }
}

#[cfg(test)]
mod tests;
