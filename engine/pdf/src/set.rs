//! Setting text: from words to lines on a page.

use crate::error::Error;
use crate::letters::{self, Line};
pub(crate) use crate::letters::{Face, Piece, Type};
use crate::options::Format;
use crate::stack::{Mark, Stack, Strip, Tone};
use crate::tree::{NodeId, Tree};
use std::rc::Rc;

/// What is needed to compose: the page's lengths, and the logical structure as it grows.
pub(crate) struct Setter {
    pub(crate) format: Format,
    pub(crate) tree: Tree,
    /// Where we are, in words, for faults.
    pub(crate) place: String,
}

impl Setter {
    pub(crate) fn new(format: Format) -> Self {
        Self { format, tree: Tree::new(), place: String::new() }
    }

    /// Type of running text.
    pub(crate) fn body(&self) -> Type {
        Type { size: if self.format.narrow { 10.0 } else { 10.5 }, face: Face::Plain, tone: Tone::Black }
    }

    /// Type of what is to be done.
    pub(crate) fn act(&self) -> Type {
        Type { size: if self.format.narrow { 11.0 } else { 12.0 }, face: Face::Plain, tone: Tone::Black }
    }

    /// Type of names beside their texts.
    pub(crate) fn label(&self) -> Type {
        Type { size: 10.0, face: Face::Strong, tone: Tone::Grey }
    }

    /// Sets a text in lines of a width at most. An over-long word is cut.
    pub(crate) fn lines(&mut self, pieces: &[Piece], kind: Type, width: f32) -> Result<Rc<[Line]>, Error> {
        let no_glyph = |character| Error::NoGlyph { character, place: self.place.clone() };
        letters::lines(pieces, kind, width).map_err(no_glyph)
    }

    /// Lines as strips that belong to a leaf. A page ends neither after the first line nor before the last.
    pub(crate) fn text(
        &mut self,
        pieces: &[Piece],
        kind: Type,
        width: f32,
        leaf: Option<NodeId>,
    ) -> Result<Stack, Error> {
        let lines = self.lines(pieces, kind, width)?;
        Ok(stack(&lines, leaf))
    }

    /// A text of one cut.
    pub(crate) fn words(&mut self, text: &str, kind: Type, width: f32, leaf: NodeId) -> Result<Stack, Error> {
        self.text(&[Piece::plain(text)], kind, width, Some(leaf))
    }

    /// Glyphs of a short text on one line, for drawing inside something else, and its width.
    pub(crate) fn short(&mut self, text: &str, kind: Type) -> Result<(Vec<Mark>, f32), Error> {
        let lines = self.lines(&[Piece::plain(text.replace('\n', " "))], kind, f32::MAX)?;
        let end = lines.iter().map(|line| line.end).fold(0.0, f32::max);
        let marks = lines.iter().flat_map(|line| line.marks(None, 0.0)).collect();
        Ok((marks, end))
    }
}

/// Lines one below the other.
pub(crate) fn stack(lines: &[Line], leaf: Option<NodeId>) -> Stack {
    let count = lines.len();
    let strips = lines.iter().enumerate().map(|(at, line)| {
        let (height, baseline) = (line.height, line.baseline);
        let marks = line.marks(leaf, baseline);
        let glued = at + 1 < count && (at == 0 || at + 2 == count);
        Strip { height, marks, glued, gap: false, baseline: Some(baseline) }
    });
    Stack { strips: strips.collect(), frames: Vec::new() }
}
