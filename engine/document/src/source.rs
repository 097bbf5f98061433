//! The text of one document and the places in it.

/// Which document of a library: an index into [`crate::Library::sources`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SourceId(pub u32);

/// A stretch of a document, in bytes, end excluded.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Span {
    /// First byte.
    pub start: usize,
    /// One past the last byte.
    pub end: usize,
}

/// A place a person can go to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Position {
    /// Line, counted from 1.
    pub line: usize,
    /// Column in characters, counted from 1.
    pub column: usize,
}

/// One document as it was handed over.
#[derive(Clone, Debug)]
pub struct Source {
    /// The name shown to people, usually the path as they gave it.
    pub name: String,
    /// The whole text.
    pub text: String,
    line_starts: Box<[usize]>,
}

impl Source {
    /// Keeps a text under the name people know it by.
    #[must_use]
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Self {
        let text = text.into();
        let line_starts = std::iter::once(0).chain(text.match_indices('\n').map(|(at, _)| at + 1)).collect();
        Self { name: name.into(), text, line_starts }
    }

    /// Line and column of a byte offset; an offset past the end is the end.
    #[must_use]
    pub fn position(&self, offset: usize) -> Position {
        let offset = self.floor(offset);
        let line = self.line_starts.partition_point(|&start| start <= offset);
        let start = self.line_starts[line - 1];
        Position { line, column: self.text[start..offset].chars().count() + 1 }
    }

    /// The byte offset, moved back to the start of the character it is inside of.
    pub(crate) fn floor(&self, offset: usize) -> usize {
        let mut offset = offset.min(self.text.len());
        while !self.text.is_char_boundary(offset) {
            offset -= 1;
        }
        offset
    }

    /// Byte offset of a line and column, both counted from 1; past the end of a line is its end.
    #[must_use]
    pub fn offset(&self, at: Position) -> usize {
        let Some(&start) = self.line_starts.get(at.line.saturating_sub(1)) else {
            return self.text.len();
        };
        let line = self.text[start..].split('\n').next().unwrap_or_default();
        start + line.char_indices().nth(at.column.saturating_sub(1)).map_or(line.len(), |(byte, _)| byte)
    }
}
