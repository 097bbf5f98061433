//! Drawing marks and areas on a page.

use crate::fonts::Fonts;
use crate::stack::{Fill, Frame, Ink, Mark, Strip, Tone};
use crate::tree::Tree;
use card::mark::Code;
use krilla::color::{luma, rgb};
use krilla::geom::{Path, PathBuilder, Point, Rect};
use krilla::num::NormalizedF32;
use krilla::paint::{self, FillRule, LineCap, Paint, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::tagging::{Artifact, ArtifactType, ContentTag, SpanTag};

/// A circle is four curves; their handles are so long in radii.
const HANDLE: f32 = 0.552_284_8;
const HAIR: f32 = 0.8;

/// Where a strip comes to lie: its left end and its top.
pub(crate) type Corner = (f32, f32);

/// Draws strips one below the other, with the areas behind them, and notes what belongs to which leaf.
pub(crate) fn strips(
    surface: &mut Surface<'_>,
    tree: &mut Tree,
    strips: &[Strip],
    frames: &[Frame],
    at: Corner,
) {
    let mut tops = vec![at.1];
    for strip in strips {
        tops.push(tops[tops.len() - 1] + strip.height);
    }
    if !frames.is_empty() {
        surface.start_tagged(layout());
        for frame in frames {
            let (top, bottom) = (tops[frame.first], tops[frame.end]);
            let half = frame.line / 2.0;
            let ink = Ink::Area {
                width: frame.width - frame.line,
                height: bottom - top - frame.line,
                line: frame.line,
                fill: frame.fill,
                radius: 0.0,
            };
            draw(surface, &ink, at.0 + frame.x + half, top + half);
        }
        surface.end_tagged();
    }
    // In the order of the logical structure, which is that of reading, so that columns are not taken line by line.
    let mut all: Vec<(&Mark, f32)> = strips
        .iter()
        .zip(&tops)
        .flat_map(|(strip, &top)| strip.marks.iter().map(move |mark| (mark, top)))
        .collect();
    all.sort_by_key(|(mark, _)| mark.leaf);
    drawn(surface, tree, &all, layout(), at.0);
}

/// Draws marks; neighbours of one leaf together. What belongs to no leaf is of the given kind.
pub(crate) fn marks(
    surface: &mut Surface<'_>,
    tree: &mut Tree,
    marks: &[Mark],
    other: ContentTag<'_>,
    at: Corner,
) {
    let all: Vec<(&Mark, f32)> = marks.iter().map(|mark| (mark, at.1)).collect();
    drawn(surface, tree, &all, other, at.0);
}

/// The same with the height from which each is measured.
fn drawn(
    surface: &mut Surface<'_>,
    tree: &mut Tree,
    marks: &[(&Mark, f32)],
    other: ContentTag<'_>,
    left: f32,
) {
    let same =
        |(a, _): &(&Mark, f32), (b, _): &(&Mark, f32)| a.leaf == b.leaf && a.alt.is_none() && b.alt.is_none();
    for group in marks.chunk_by(same) {
        let Some((first, _)) = group.first() else { continue };
        match first.leaf {
            None => {
                surface.start_tagged(other);
            }
            Some(leaf) => {
                let tag = match &first.alt {
                    None => ContentTag::Other,
                    Some(alt) => ContentTag::Span(SpanTag::empty().with_alt_text(Some(alt))),
                };
                tree.drawn(leaf, surface.start_tagged(tag));
            }
        }
        for (mark, top) in group {
            draw(surface, &mark.ink, left + mark.x, top + mark.y);
        }
        surface.end_tagged();
    }
}

fn layout() -> ContentTag<'static> {
    ContentTag::Artifact(Artifact::with_kind(ArtifactType::Layout))
}

fn draw(surface: &mut Surface<'_>, ink: &Ink, x: f32, y: f32) {
    match ink {
        Ink::Run(run) => {
            filled(surface, tone(run.tone));
            let font = Fonts::shared().font(run.font);
            surface.draw_glyphs(Point::from_xy(x, y), &run.glyphs, font, &run.text, run.size, false);
        }
        Ink::Rule(width, thick) => {
            lined(surface, *thick, None);
            line(surface, (x, y), (x + width, y));
        }
        Ink::Post(height) => {
            lined(surface, 0.5, None);
            line(surface, (x, y), (x, y + height));
        }
        Ink::Leader(width) => {
            lined(surface, 0.9, Some((vec![0.0, 3.2], LineCap::Round)));
            line(surface, (x, y), (x + width, y));
        }
        Ink::Cut { width, height } => {
            lined(surface, 0.5, Some((vec![4.0, 3.0], LineCap::Butt)));
            line(surface, (x, y), (x + width, y + height));
        }
        Ink::Tick(side) => {
            lined(surface, 1.0, None);
            path_drawn(surface, rectangle(x + 0.5, y + 0.5, side - 1.0, side - 1.0, 0.0));
        }
        Ink::Alert { width, tone: letters, ground } => {
            alert(surface, (x, y), *width, tone(*letters), fill(*ground))
        }
        Ink::Area { width, height, line, fill: ground, radius } => {
            surface.set_fill(fill(*ground).map(solid));
            surface.set_stroke(Some(stroke(*line, None)));
            path_drawn(surface, rectangle(x, y, *width, *height, *radius));
        }
        Ink::Dashed { width, height, line } => {
            lined(surface, *line, Some((vec![4.0, 2.5], LineCap::Butt)));
            path_drawn(surface, rectangle(x, y, *width, *height, 0.0));
        }
        Ink::Way { points, arrow } => way(surface, points, *arrow, (x, y)),
        Ink::Code(code, side) => square_code(surface, code, *side, (x, y)),
        Ink::Circle(radius) => {
            surface.set_fill(Some(solid(luma::Color::white().into())));
            surface.set_stroke(Some(stroke(1.0, None)));
            path_drawn(surface, rectangle(x - radius, y - radius, 2.0 * radius, 2.0 * radius, *radius));
        }
    }
}

/// Length and half the width of the head of a line.
const HEAD: (f32, f32) = (4.5, 2.0);

/// A line along an axis from corner to corner.
fn way(surface: &mut Surface<'_>, points: &[(f32, f32)], arrow: bool, at: Corner) {
    let [.., before, end] = points else { return };
    let (long, half) = if arrow { HEAD } else { (0.0, 0.0) };
    let toward = |from: f32, to: f32| if (to - from).abs() < 0.01 { 0.0 } else { (to - from).signum() };
    let step = (toward(before.0, end.0), toward(before.1, end.1));
    let back = (end.0 - step.0 * long, end.1 - step.1 * long);
    let mut path = PathBuilder::new();
    for (number, &(x, y)) in points.iter().take(points.len() - 1).chain([&back]).enumerate() {
        if number == 0 {
            path.move_to(at.0 + x, at.1 + y);
        } else {
            path.line_to(at.0 + x, at.1 + y);
        }
    }
    lined(surface, 1.0, None);
    path_drawn(surface, path.finish());
    if arrow {
        let side = (step.1 * half, step.0 * half);
        let mut head = PathBuilder::new();
        head.move_to(at.0 + end.0, at.1 + end.1);
        head.line_to(at.0 + back.0 + side.0, at.1 + back.1 + side.1);
        head.line_to(at.0 + back.0 - side.0, at.1 + back.1 - side.1);
        head.close();
        filled(surface, luma::Color::black().into());
        path_drawn(surface, head.finish());
    }
}

/// A triangle standing on its base with an exclamation mark in it.
fn alert(surface: &mut Surface<'_>, (x, y): (f32, f32), width: f32, letters: Paint, ground: Option<Paint>) {
    let at = |across: f32, up: f32| (x + across * width, y - up * width);
    let shape = |points: &[(f32, f32)]| {
        let mut path = PathBuilder::new();
        for (number, &(across, up)) in points.iter().enumerate() {
            let (x, y) = at(across, up);
            if number == 0 {
                path.move_to(x, y);
            } else {
                path.line_to(x, y);
            }
        }
        path.close();
        path.finish()
    };
    filled(surface, letters);
    path_drawn(surface, shape(&[(0.0, 0.0), (0.5, 0.866), (1.0, 0.0)]));
    if let Some(ground) = ground {
        filled(surface, ground);
        path_drawn(surface, shape(&[(0.435, 0.58), (0.565, 0.58), (0.535, 0.26), (0.465, 0.26)]));
        let (middle, up) = at(0.5, 0.15);
        let radius = 0.06 * width;
        path_drawn(surface, rectangle(middle - radius, up - radius, 2.0 * radius, 2.0 * radius, radius));
    }
}

/// Dark modules that touch in a row are one rectangle.
fn square_code(surface: &mut Surface<'_>, code: &Code, side: f32, (x, y): (f32, f32)) {
    let module = side / code.with_quiet as f32;
    let quiet = (code.with_quiet - code.side) as f32 / 2.0;
    let mut path = PathBuilder::new();
    for row in 0..code.side {
        let columns: Vec<u32> = (0..code.side).collect();
        for run in columns.chunk_by(|&one, &other| code.is_dark(one, row) == code.is_dark(other, row)) {
            let Some(&first) = run.first() else { continue };
            let (left, top) = (x + (first as f32 + quiet) * module, y + (row as f32 + quiet) * module);
            let rect = Rect::from_xywh(left, top, run.len() as f32 * module, module);
            if let (true, Some(rect)) = (code.is_dark(first, row), rect) {
                path.push_rect(rect);
            }
        }
    }
    filled(surface, luma::Color::black().into());
    path_drawn(surface, path.finish());
}

fn path_drawn(surface: &mut Surface<'_>, path: Option<Path>) {
    // An empty path has nothing to show.
    if let Some(path) = path {
        surface.draw_path(&path);
    }
}

fn line(surface: &mut Surface<'_>, from: (f32, f32), to: (f32, f32)) {
    let mut path = PathBuilder::new();
    path.move_to(from.0, from.1);
    path.line_to(to.0, to.1);
    path_drawn(surface, path.finish());
}

fn rectangle(x: f32, y: f32, width: f32, height: f32, radius: f32) -> Option<Path> {
    let mut path = PathBuilder::new();
    if radius <= 0.0 {
        path.push_rect(Rect::from_xywh(x, y, width.max(0.1), height.max(0.1))?);
        return path.finish();
    }
    let (right, bottom, off) = (x + width, y + height, radius * (1.0 - HANDLE));
    path.move_to(x + radius, y);
    path.line_to(right - radius, y);
    path.cubic_to(right - off, y, right, y + off, right, y + radius);
    path.line_to(right, bottom - radius);
    path.cubic_to(right, bottom - off, right - off, bottom, right - radius, bottom);
    path.line_to(x + radius, bottom);
    path.cubic_to(x + off, bottom, x, bottom - off, x, bottom - radius);
    path.line_to(x, y + radius);
    path.cubic_to(x, y + off, x + off, y, x + radius, y);
    path.close();
    path.finish()
}

fn filled(surface: &mut Surface<'_>, paint: Paint) {
    surface.set_fill(Some(solid(paint)));
    surface.set_stroke(None);
}

fn lined(surface: &mut Surface<'_>, width: f32, dash: Option<(Vec<f32>, LineCap)>) {
    surface.set_fill(None);
    surface.set_stroke(Some(stroke(width, dash)));
}

fn solid(paint: Paint) -> paint::Fill {
    paint::Fill { paint, opacity: NormalizedF32::ONE, rule: FillRule::NonZero }
}

fn stroke(width: f32, dash: Option<(Vec<f32>, LineCap)>) -> Stroke {
    let (array, line_cap) = dash.unwrap_or_default();
    let dash = (!array.is_empty()).then_some(StrokeDash { array, offset: 0.0 });
    Stroke {
        paint: luma::Color::black().into(),
        width: width.max(HAIR / 2.0),
        line_cap,
        dash,
        ..Stroke::default()
    }
}

fn tone(tone: Tone) -> Paint {
    luma::Color::new(grey(tone)).into()
}

fn fill(fill: Fill) -> Option<Paint> {
    let [red, green, blue] = colour(fill)?;
    let grey = red == green && green == blue;
    Some(if grey { luma::Color::new(red).into() } else { rgb::Color::new(red, green, blue).into() })
}

/// How light a tone is.
pub(crate) fn grey(tone: Tone) -> u8 {
    match tone {
        Tone::Black => 0,
        Tone::Grey => 0x40,
        Tone::White => 0xFF,
    }
}

/// The colours of areas. Those of signals are sRGB that stands in for the standard's physical colours (memory; red and
/// blue 2nd).
pub(crate) fn colour(fill: Fill) -> Option<[u8; 3]> {
    match fill {
        Fill::None => None,
        Fill::White => Some([0xFF; 3]),
        Fill::Pale => Some([0xF0; 3]),
        Fill::Black => Some([0; 3]),
        Fill::Red => Some([0xC8, 0x10, 0x2E]),
        Fill::Orange => Some([0xFF, 0x82, 0x00]),
        Fill::Yellow => Some([0xFF, 0xD1, 0x00]),
        Fill::Blue => Some([0x00, 0x72, 0xCE]),
    }
}
