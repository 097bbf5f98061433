//! A drawing of fasteners as SVG 1.1: black on white, so that a grey print shows it as a screen does.

use crate::page::Diagram;
use std::fmt::Write as _;

const RADIUS: i64 = 15;
/// Sizes of the turn in a circle and of the fastener's number under it: at the drawing's own size, 12 pt and 10.5 pt.
const TURN: i64 = 16;
const NUMBER: i64 = 14;
const FACES: &str = "'Liberation Sans', Arial, Helvetica, sans-serif";

/// The drawing, complete in itself: its own size, its words for people who do not see it (`title` and `desc`), and every
/// look given at its place, so that a browser and a program without style sheets draw the same. In each circle stands
/// the turn, under it the fastener's number; the first to be done has a second ring.
///
/// `key` makes the names of `title` and `desc` its own where several drawings stand in one document: letters, digits and
/// hyphens, anything else is left out.
#[must_use]
pub fn svg(drawing: &Diagram, key: &str) -> String {
    drawn(drawing, key, " xmlns=\"http://www.w3.org/2000/svg\"", None)
}

/// The same inside a page, which needs no name of the language.
#[must_use]
pub fn svg_inline(drawing: &Diagram, key: &str) -> String {
    drawn(drawing, key, "", None)
}

/// The same while the fasteners are being done: those of `done` are filled, and `next` has a ring around it.
#[must_use]
pub fn svg_ticked(drawing: &Diagram, key: &str, done: &[usize], next: usize) -> String {
    drawn(drawing, key, "", Some((done, next)))
}

fn drawn(drawing: &Diagram, key: &str, language: &str, ticked: Option<(&[usize], usize)>) -> String {
    let key: String = key.chars().filter(|letter| letter.is_ascii_alphanumeric() || *letter == '-').collect();
    let (width, height) = (drawing.width, drawing.height);
    let mut svg = String::new();
    let _ = write!(
        svg,
        "<svg{language} class=\"diagram\" viewBox=\"0 0 {width} {height}\" \
         width=\"{width}\" height=\"{height}\" role=\"img\" \
         aria-labelledby=\"diagram-{key}-title diagram-{key}-words\" font-family=\"{FACES}\" text-anchor=\"middle\">\
         <title id=\"diagram-{key}-title\">{}</title><desc id=\"diagram-{key}-words\">{}</desc>\
         <rect x=\"1\" y=\"1\" width=\"{}\" height=\"{}\" rx=\"10\" fill=\"#ffffff\" stroke=\"#808080\" \
         stroke-width=\"1.5\"/>",
        escaped(&drawing.label),
        escaped(&drawing.words),
        width - 2,
        height - 2,
    );
    for dot in &drawing.dots {
        let (x, y) = (dot.x, dot.y);
        let (is_done, is_next) =
            ticked.map_or((false, false), |(done, next)| (done.contains(&dot.number), dot.number == next));
        let (ground, ink) = if is_done { ("#000000", "#ffffff") } else { ("#ffffff", "#000000") };
        let _ = write!(
            svg,
            "<circle cx=\"{x}\" cy=\"{y}\" r=\"{RADIUS}\" fill=\"{ground}\" stroke=\"#000000\" stroke-width=\"2\"/>"
        );
        if dot.turn == 1 {
            let _ = write!(
                svg,
                "<circle cx=\"{x}\" cy=\"{y}\" r=\"{}\" fill=\"none\" stroke=\"{ink}\" stroke-width=\"1.5\"/>",
                RADIUS - 4
            );
        }
        if is_next {
            let _ = write!(
                svg,
                "<circle cx=\"{x}\" cy=\"{y}\" r=\"{}\" fill=\"none\" stroke=\"#000000\" stroke-width=\"3\"/>",
                RADIUS + 4
            );
        }
        // The base line is given by number: not every program knows how to centre a text upright.
        let _ = write!(
            svg,
            "<text x=\"{x}\" y=\"{}\" font-size=\"{TURN}\" font-weight=\"bold\" fill=\"{ink}\">{}</text>\
             <text x=\"{x}\" y=\"{}\" font-size=\"{NUMBER}\" fill=\"#000000\">{}</text>",
            y + 6,
            dot.turn,
            y + RADIUS + NUMBER + if is_next { 4 } else { 0 },
            dot.number
        );
    }
    svg.push_str("</svg>");
    svg
}

/// Text between tags.
fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}
