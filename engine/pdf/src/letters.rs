//! From words to lines of glyphs.
//!
//! Cards say the same things over and over: labels, warnings, ways to leave the machine, the heads of their pages. Each thread
//! keeps the lines that it has set, as long as they are few, with what it takes to set more. What is kept decides nothing but
//! the time.

use crate::fonts::{FAMILIES, Fonts};
use crate::stack::{Ink, Mark, Run, Tone};
use crate::tree::NodeId;
use krilla::text::{GlyphId, KrillaGlyph};
use parley::style::{
    FontFamily, FontFamilyName, FontStyle, FontWeight, LineHeight, OverflowWrap, StyleProperty,
};
use parley::{Alignment, FontContext, Layout, LayoutContext, LineBreakContext};
use std::borrow::Cow;
use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;

/// A cut of the letters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) enum Face {
    Plain,
    Strong,
    /// For notes and the page's own remarks, never for what is to be done (CAP 676, 2nd).
    Slanted,
}

/// How a text is set.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Type {
    /// Size in points.
    pub(crate) size: f32,
    pub(crate) face: Face,
    pub(crate) tone: Tone,
}

/// From baseline to baseline in sizes: 25 to 33 % of room (NASA CR-177605, memory).
const LEADING: f32 = 1.3;

impl Type {
    pub(crate) fn strong(self) -> Self {
        Self { face: Face::Strong, ..self }
    }

    pub(crate) fn slanted(self) -> Self {
        Self { face: Face::Slanted, ..self }
    }

    /// The height of a line.
    pub(crate) fn leading(self) -> f32 {
        self.size * LEADING
    }
}

/// Letters of one cut.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub(crate) struct Piece {
    pub(crate) text: String,
    /// The cut, if it is not that of the text round it.
    pub(crate) face: Option<Face>,
}

impl Piece {
    pub(crate) fn plain(text: impl Into<String>) -> Self {
        Self { text: text.into(), face: None }
    }

    pub(crate) fn strong(text: impl Into<String>) -> Self {
        Self { text: text.into(), face: Some(Face::Strong) }
    }
}

/// How many bytes of text are kept set; their glyphs take some fifty times as much.
const KEPT: usize = 100_000;

thread_local! {
    static LETTERS: RefCell<Letters> = RefCell::new(Letters::new());
}

/// A line of text with its width.
#[derive(Debug)]
pub(crate) struct Line {
    pub(crate) height: f32,
    pub(crate) baseline: f32,
    /// Where the text ends.
    pub(crate) end: f32,
    /// The runs with their left ends.
    runs: Vec<(f32, Run)>,
}

/// How a text is set and how wide it may be, to the bit.
type Way = (u32, Face, Tone, u32);

struct Letters {
    fonts: FontContext,
    layouts: LayoutContext<()>,
    set: HashMap<Way, HashMap<Vec<Piece>, Rc<[Line]>>>,
    /// Bytes of the texts in it.
    kept: usize,
}

/// Sets a text in lines of a width at most. Fails with a character that is in none of the fonts.
pub(crate) fn lines(pieces: &[Piece], kind: Type, width: f32) -> Result<Rc<[Line]>, char> {
    LETTERS.with_borrow_mut(|letters| letters.lines(pieces, kind, width))
}

impl Line {
    /// Its runs, their baseline at a height.
    pub(crate) fn marks(&self, leaf: Option<NodeId>, baseline: f32) -> Vec<Mark> {
        let mark =
            |&(x, ref run): &(f32, Run)| Mark { x, y: baseline, leaf, alt: None, ink: Ink::Run(run.clone()) };
        self.runs.iter().map(mark).collect()
    }
}

impl Letters {
    fn new() -> Self {
        Self { fonts: Fonts::shared().context(), layouts: LayoutContext::new(), set: HashMap::new(), kept: 0 }
    }

    fn lines(&mut self, pieces: &[Piece], kind: Type, width: f32) -> Result<Rc<[Line]>, char> {
        let way = (kind.size.to_bits(), kind.face, kind.tone, width.to_bits());
        if let Some(known) = self.set.get(&way).and_then(|set| set.get(pieces)) {
            return Ok(Rc::clone(known));
        }
        let mut lines = Vec::new();
        for paragraph in paragraphs(pieces) {
            self.paragraph_lines(&paragraph, kind, width, &mut lines)?;
        }
        let lines: Rc<[Line]> = lines.into();
        let bytes = pieces.iter().map(|piece| piece.text.len()).sum::<usize>();
        self.kept += bytes;
        if self.kept > KEPT {
            self.set.clear();
            self.kept = bytes;
        }
        if bytes <= KEPT / 10 {
            self.set.entry(way).or_default().insert(pieces.to_vec(), Rc::clone(&lines));
        }
        Ok(lines)
    }

    fn paragraph_lines(
        &mut self,
        pieces: &[Piece],
        kind: Type,
        width: f32,
        lines: &mut Vec<Line>,
    ) -> Result<(), char> {
        let text: String = pieces.iter().map(|piece| piece.text.as_str()).collect();
        let layout = self.layout(&text, pieces, kind, width);
        let text: Rc<str> = text.into();
        for line in layout.lines() {
            let metrics = line.metrics();
            let top = metrics.block_min_coord;
            let mut runs = Vec::new();
            let mut x = metrics.offset;
            let end = text.get(..line.text_range().end).unwrap_or(&text).trim_end().len();
            for run in line.runs() {
                let (run, width) = Self::run(&run, (&text, end), kind)?;
                runs.push((x, run));
                x += width;
            }
            lines.push(Line {
                height: metrics.line_height,
                baseline: metrics.baseline - top,
                end: metrics.offset + metrics.advance - metrics.hanging_advance,
                runs,
            });
        }
        Ok(())
    }

    fn layout(&mut self, text: &str, pieces: &[Piece], kind: Type, width: f32) -> Layout<()> {
        let families = FAMILIES.map(|name| FontFamilyName::Named(Cow::Borrowed(name)));
        let mut builder = self.layouts.ranged_builder(&mut self.fonts, text, 1.0, false);
        builder.push_default(StyleProperty::FontFamily(FontFamily::List(Cow::Borrowed(&families))));
        builder.push_default(StyleProperty::FontSize(kind.size));
        builder.push_default(StyleProperty::LineHeight(LineHeight::Absolute(kind.leading())));
        builder.push_default(StyleProperty::OverflowWrap(OverflowWrap::Anywhere));
        builder.set_line_break_override(Some(&break_between));
        let mut at = 0;
        for piece in pieces {
            let range = at..at + piece.text.len();
            at = range.end;
            match piece.face.unwrap_or(kind.face) {
                Face::Plain => {}
                Face::Strong => builder.push(StyleProperty::FontWeight(FontWeight::SEMI_BOLD), range),
                Face::Slanted => builder.push(StyleProperty::FontStyle(FontStyle::Italic), range),
            }
        }
        let mut layout = builder.build(text);
        layout.break_all_lines(Some(width));
        layout.align(Alignment::Start, parley::AlignmentOptions::default());
        layout
    }

    /// Takes the glyphs of a run over, with its width. A glyph that no font has is a fault. White after the end of the
    /// line's words would push a run from right to left out of its measure: it takes no room there.
    fn run(
        run: &parley::Run<'_, ()>,
        (text, end): (&Rc<str>, usize),
        kind: Type,
    ) -> Result<(Run, f32), char> {
        let size = run.font_size();
        let font = Fonts::shared().index(run.font().data.id()).unwrap_or_default();
        let mut glyphs: Vec<KrillaGlyph> = Vec::new();
        let mut width = 0.0;
        for cluster in run.visual_clusters() {
            let range = cluster.text_range();
            if cluster.is_ligature_continuation() {
                if let Some(last) = glyphs.last_mut() {
                    last.text_range.start = last.text_range.start.min(range.start);
                    last.text_range.end = last.text_range.end.max(range.end);
                }
                continue;
            }
            for glyph in cluster.glyphs() {
                if glyph.id == 0 {
                    let character = text[range].chars().next().unwrap_or(char::REPLACEMENT_CHARACTER);
                    return Err(character);
                }
                let advance = if run.is_rtl() && range.start >= end { 0.0 } else { glyph.advance };
                width += advance;
                let [advance, right, up] = [advance, glyph.x, glyph.y].map(|length| length / size);
                let id = GlyphId::new(glyph.id);
                glyphs.push(KrillaGlyph::new(id, advance, right, up, 0.0, range.clone(), None));
            }
        }
        Ok((Run { font, size, glyphs: glyphs.into(), text: Rc::clone(text), tone: kind.tone }, width))
    }
}

/// A figure stays with its unit, and an arrow with where it points; all else is as Unicode has it (UAX 14).
fn break_between(pair: LineBreakContext) -> Option<bool> {
    let figure = pair.before_before.is_some_and(|letter| letter.is_ascii_digit());
    let unit = pair.after.is_alphabetic() || matches!(pair.after, '°' | '%');
    let arrow = pair.before_before == Some('→');
    (pair.before == ' ' && (figure && unit || arrow)).then_some(false)
}

/// The text between line ends; tabs are spaces.
fn paragraphs(pieces: &[Piece]) -> Vec<Vec<Piece>> {
    let mut paragraphs = vec![Vec::new()];
    for piece in pieces {
        for (at, part) in piece.text.split('\n').enumerate() {
            if at > 0 {
                paragraphs.push(Vec::new());
            }
            if let Some(last) = paragraphs.last_mut() {
                last.push(Piece { text: part.replace('\t', " "), face: piece.face });
            }
        }
    }
    paragraphs
}
