//! Laid-out matter before it has a page: strips one below the other, each to be drawn whole.

use crate::tree::NodeId;
use card::mark::Code;
use krilla::text::KrillaGlyph;
use std::rc::Rc;

/// A line of glyphs of one font.
#[derive(Clone, Debug)]
pub(crate) struct Run {
    /// Which font.
    pub(crate) font: usize,
    /// Size in points.
    pub(crate) size: f32,
    /// The glyphs, with their places in the text.
    pub(crate) glyphs: Rc<[KrillaGlyph]>,
    /// The text.
    pub(crate) text: Rc<str>,
    /// Its colour.
    pub(crate) tone: Tone,
}

/// The few colours of text and lines. All but white have a contrast of at least 7 to white (WCAG 2.2, 1.4.6, 2nd).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) enum Tone {
    Black,
    Grey,
    White,
}

/// Colours of areas.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Fill {
    None,
    White,
    Pale,
    Black,
    Red,
    Orange,
    Yellow,
    Blue,
}

/// Something drawn, from its top left corner; runs from the left end of their baseline.
#[derive(Clone, Debug)]
pub(crate) enum Ink {
    Run(Run),
    /// A line of a width and a thickness, to the right.
    Rule(f32, f32),
    /// A thin line of a height, downwards.
    Post(f32),
    /// A dotted line of a width.
    Leader(f32),
    /// A dashed line along which paper is folded or cut.
    Cut {
        width: f32,
        height: f32,
    },
    /// A box to tick, of a side.
    Tick(f32),
    /// The safety alert symbol, from its bottom left corner: a triangle in the colour of the letters with an exclamation
    /// mark in that of the ground (ANSI Z535.4, memory).
    Alert {
        width: f32,
        tone: Tone,
        ground: Fill,
    },
    /// A rectangle of a width and a height, with a line of a thickness, filled or not; corners rounded by a radius.
    Area {
        width: f32,
        height: f32,
        line: f32,
        fill: Fill,
        radius: f32,
    },
    /// The outline of a rectangle in dashes.
    Dashed {
        width: f32,
        height: f32,
        line: f32,
    },
    /// A line of straight pieces, with a head at its end or without.
    Way {
        points: Rc<[(f32, f32)]>,
        arrow: bool,
    },
    /// A square code of a side, its quiet zone included.
    Code(Rc<Code>, f32),
    /// A circle about its middle.
    Circle(f32),
}

/// Something drawn at its place in a strip.
#[derive(Clone, Debug)]
pub(crate) struct Mark {
    pub(crate) x: f32,
    pub(crate) y: f32,
    /// The leaf of the logical structure that it belongs to; none for mere layout.
    pub(crate) leaf: Option<NodeId>,
    /// What it says where it is no text.
    pub(crate) alt: Option<Rc<str>>,
    pub(crate) ink: Ink,
}

impl Mark {
    /// A mark that is mere layout.
    pub(crate) fn layout(x: f32, y: f32, ink: Ink) -> Self {
        Self { x, y, leaf: None, alt: None, ink }
    }
}

/// A horizontal strip.
#[derive(Clone, Debug, Default)]
pub(crate) struct Strip {
    pub(crate) height: f32,
    pub(crate) marks: Vec<Mark>,
    /// No page may end below it, if that can be had.
    pub(crate) glued: bool,
    /// Mere white, not needed at the head of a page.
    pub(crate) gap: bool,
    /// The first baseline in it, from its top.
    pub(crate) baseline: Option<f32>,
}

/// An area behind some strips, drawn on every page that they come to.
#[derive(Clone, Debug)]
pub(crate) struct Frame {
    pub(crate) first: usize,
    pub(crate) end: usize,
    pub(crate) x: f32,
    pub(crate) width: f32,
    pub(crate) line: f32,
    pub(crate) fill: Fill,
}

/// Strips one below the other, with the areas behind them.
#[derive(Clone, Debug, Default)]
pub(crate) struct Stack {
    pub(crate) strips: Vec<Strip>,
    pub(crate) frames: Vec<Frame>,
}

/// Two heights closer than this are the same.
const SAME: f32 = 0.05;

impl Stack {
    /// White of a height.
    pub(crate) fn white(height: f32) -> Self {
        Self { strips: vec![Strip { height, gap: true, ..Strip::default() }], frames: Vec::new() }
    }

    /// One strip.
    pub(crate) fn strip(height: f32, baseline: Option<f32>, marks: Vec<Mark>) -> Self {
        Self { strips: vec![Strip { height, marks, baseline, ..Strip::default() }], frames: Vec::new() }
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.strips.is_empty()
    }

    pub(crate) fn height(&self) -> f32 {
        self.strips.iter().map(|strip| strip.height).sum()
    }

    /// Puts another below.
    pub(crate) fn push(&mut self, below: Self) {
        let by = self.strips.len();
        self.strips.extend(below.strips);
        self.frames.extend(below.frames.into_iter().map(|frame| Frame {
            first: frame.first + by,
            end: frame.end + by,
            ..frame
        }));
    }

    /// Puts another below, with white between unless one of them is empty.
    pub(crate) fn push_after(&mut self, white: f32, below: Self) {
        if !self.is_empty() && !below.is_empty() {
            self.push(Self::white(white));
        }
        self.push(below);
    }

    /// Lines of text closer by so much.
    pub(crate) fn tight(mut self, by: f32) -> Self {
        for strip in self.strips.iter_mut().filter(|strip| strip.baseline.is_some()) {
            strip.height -= by;
            strip.baseline = strip.baseline.map(|baseline| baseline - by / 2.0);
            strip.marks.iter_mut().for_each(|mark| mark.y -= by / 2.0);
        }
        self
    }

    /// Moves everything to the right.
    pub(crate) fn right(mut self, by: f32) -> Self {
        for mark in self.strips.iter_mut().flat_map(|strip| &mut strip.marks) {
            mark.x += by;
        }
        for frame in &mut self.frames {
            frame.x += by;
        }
        self
    }

    /// No page may end inside it, if that can be had.
    pub(crate) fn whole(mut self) -> Self {
        if let Some((_, others)) = self.strips.split_last_mut() {
            others.iter_mut().for_each(|strip| strip.glued = true);
        }
        self
    }

    /// With room above and below, in an area.
    pub(crate) fn framed(self, x: f32, width: f32, pad: f32, line: f32, fill: Fill) -> Self {
        let room = |glued| Strip { height: pad, glued, ..Strip::default() };
        let mut framed = Self { strips: vec![room(true)], frames: Vec::new() };
        framed.push(self);
        if let Some(last) = framed.strips.last_mut() {
            last.glued = true;
        }
        framed.strips.push(room(false));
        framed.frames.insert(0, Frame { first: 0, end: framed.strips.len(), x, width, line, fill });
        framed
    }

    /// Columns side by side, their first baselines level. A page may end where it may in every one of them.
    pub(crate) fn beside(columns: Vec<Self>) -> Self {
        let columns = level(columns);
        let total = columns.iter().map(Self::height).fold(0.0, f32::max);
        let all: Vec<(Vec<f32>, f32)> =
            columns.iter().map(|column| (column.cuts(), column.height())).collect();
        let mut cuts: Vec<f32> =
            all.iter().flat_map(|(cuts, _)| cuts).copied().filter(|&cut| cut < total - SAME).collect();
        cuts.sort_by(f32::total_cmp);
        cuts.dedup_by(|later, earlier| *later - *earlier < SAME);
        cuts.retain(|&cut| all.iter().all(|(cuts, height)| may_end(cuts, *height, cut)));
        cuts.push(total);
        let mut merged = Self::default();
        let mut from = 0.0;
        for &cut in &cuts {
            merged.strips.push(Strip { height: cut - from, ..Strip::default() });
            from = cut;
        }
        let which = |y: f32| cuts.partition_point(|&cut| cut <= y + SAME).min(cuts.len() - 1);
        let start = |at: usize| if at == 0 { 0.0 } else { cuts[at - 1] };
        for column in columns {
            let mut tops = Vec::new();
            let mut y = 0.0;
            for strip in column.strips {
                tops.push(y);
                let at = which(y);
                let down = y - start(at);
                let into = &mut merged.strips[at];
                into.baseline = into.baseline.or(strip.baseline.map(|baseline| baseline + down));
                into.marks.extend(strip.marks.into_iter().map(|mark| Mark { y: mark.y + down, ..mark }));
                y += strip.height;
            }
            merged.frames.extend(column.frames.into_iter().map(|frame| {
                let (first, last) = (which(tops[frame.first]), which(tops[frame.end - 1]));
                Frame { first, end: last + 1, ..frame }
            }));
        }
        merged
    }

    /// To be taken piece by piece.
    pub(crate) fn pieces(self) -> Pieces {
        Pieces { strips: self.strips.into_iter(), frames: self.frames, at: 0 }
    }

    /// Where a page may end inside it.
    fn cuts(&self) -> Vec<f32> {
        let mut y = 0.0;
        let mut cuts = Vec::new();
        for strip in &self.strips {
            y += strip.height;
            if !strip.glued {
                cuts.push(y);
            }
        }
        cuts
    }
}

/// What is left of a stack that is taken piece by piece. An area goes on in each piece that it comes to.
pub(crate) struct Pieces {
    strips: std::vec::IntoIter<Strip>,
    /// Those that come to what is left, by the numbers that strips had in the whole.
    frames: Vec<Frame>,
    /// How many strips are gone.
    at: usize,
}

impl Pieces {
    /// What is left.
    pub(crate) fn strips(&self) -> &[Strip] {
        self.strips.as_slice()
    }

    /// The first strips; what is left then begins without white.
    pub(crate) fn next(&mut self, count: usize) -> Stack {
        let strips: Vec<Strip> = self.strips.by_ref().take(count).collect();
        let (from, to) = (self.at, self.at + strips.len());
        let frames = self.frames.iter().filter(|frame| frame.first < to).map(|frame| Frame {
            first: frame.first.saturating_sub(from),
            end: frame.end.min(to) - from,
            ..frame.clone()
        });
        let piece = Stack { strips, frames: frames.collect() };
        let white = self.strips().iter().take_while(|strip| strip.gap).count();
        self.strips.by_ref().take(white).for_each(drop);
        self.at = to + white;
        self.frames.retain(|frame| frame.end > self.at);
        piece
    }

    /// All that is left, without white at its head.
    pub(crate) fn rest(mut self) -> Stack {
        self.next(0);
        let count = self.strips.len();
        self.next(count)
    }
}

/// Whether a page may end so far down: at one of these places, in their order, or at the end.
fn may_end(cuts: &[f32], height: f32, y: f32) -> bool {
    let after = cuts.partition_point(|&cut| cut < y);
    let nearest = cuts[after.saturating_sub(1)..].iter().take(2);
    y >= height - SAME || nearest.into_iter().any(|cut| (cut - y).abs() < SAME)
}

/// Moves columns down so that their first baselines are level.
fn level(mut columns: Vec<Stack>) -> Vec<Stack> {
    let first = |column: &Stack| column.strips.first().and_then(|strip| strip.baseline);
    let lowest = columns.iter().filter_map(first).fold(0.0, f32::max);
    for column in &mut columns {
        let Some(baseline) = first(column) else { continue };
        let down = lowest - baseline;
        let strip = &mut column.strips[0];
        strip.height += down;
        strip.baseline = Some(lowest);
        strip.marks.iter_mut().for_each(|mark| mark.y += down);
    }
    columns
}
