//! Blanks to be filled in by hand, in a row with their names.

use crate::error::Error;
use crate::set::{Setter, Type};
use crate::stack::{Ink, Mark, Stack};
use crate::tree::NodeId;
use crate::widgets::{TICK, TICK_ROOM};
use std::rc::Rc;

/// A part of a field.
#[derive(Clone, Debug)]
pub(crate) enum Part {
    /// Words.
    Text(String),
    /// A line to write on, of at least a width, and what is written there. It takes the room that is left.
    Blank(f32, &'static str),
    /// A line to write on, of a width.
    Short(f32, &'static str),
    /// A box to tick.
    Tick,
}

/// Parts that stay together in a row, if they fit.
pub(crate) type Field = Vec<Part>;

/// White between two parts of a field.
const GAP: f32 = 3.5;

/// How rows are laid out.
#[derive(Clone, Copy)]
struct Shape {
    height: f32,
    /// Where the baseline is.
    base: f32,
    /// White between two fields.
    gap: f32,
}

/// To write on: 7.5 mm high.
const WRITING: Shape = Shape { height: 21.5, base: 16.0, gap: 12.0 };

/// A part with its width.
struct Sized {
    width: f32,
    marks: Vec<Mark>,
    blank: Option<&'static str>,
    grows: bool,
    tick: bool,
}

impl Setter {
    /// Fields in rows to write in.
    pub(crate) fn fields(
        &mut self,
        fields: &[Field],
        kind: Type,
        width: f32,
        leaf: NodeId,
    ) -> Result<Stack, Error> {
        self.rows(fields, kind, width, leaf, WRITING)
    }

    /// Fields in rows where nothing is written but ticks.
    pub(crate) fn tick_row(
        &mut self,
        fields: &[Field],
        kind: Type,
        width: f32,
        leaf: NodeId,
    ) -> Result<Stack, Error> {
        let gap = if self.format.narrow { 7.0 } else { WRITING.gap };
        let shape = Shape { height: kind.leading() + 3.0, base: kind.size + 2.0, gap };
        self.rows(fields, kind, width, leaf, shape)
    }

    fn rows(
        &mut self,
        fields: &[Field],
        kind: Type,
        width: f32,
        leaf: NodeId,
        shape: Shape,
    ) -> Result<Stack, Error> {
        let mut all = Stack::default();
        let mut row: Vec<Vec<Sized>> = Vec::new();
        let mut used = 0.0;
        for field in fields {
            let mut sized = Vec::new();
            for part in field {
                match self.sized(part, kind)? {
                    // Words too long for a line of their own are set as a text above the row.
                    long if long.width > width && long.blank.is_none() => {
                        all.push(draw(std::mem::take(&mut row), used, width, leaf, shape));
                        used = 0.0;
                        let Part::Text(text) = part else { continue };
                        all.push(self.words(text, kind, width, leaf)?);
                    }
                    short => sized.push(short),
                }
            }
            let takes = length(&sized);
            if used > 0.0 && used + shape.gap + takes > width {
                all.push(draw(std::mem::take(&mut row), used, width, leaf, shape));
                used = 0.0;
            }
            // A field longer than a row is parted where it must be.
            if takes > width {
                for part in sized {
                    let takes = part.width;
                    if used > 0.0 && used + GAP + takes > width {
                        all.push(draw(std::mem::take(&mut row), used, width, leaf, shape));
                        used = 0.0;
                    }
                    used += takes + if used > 0.0 { shape.gap } else { 0.0 };
                    row.push(vec![part]);
                }
                continue;
            }
            used += takes + if used > 0.0 { shape.gap } else { 0.0 };
            row.push(sized);
        }
        all.push(draw(row, used, width, leaf, shape));
        Ok(all)
    }

    fn sized(&mut self, part: &Part, kind: Type) -> Result<Sized, Error> {
        let plain = Sized { width: 0.0, marks: Vec::new(), blank: None, grows: false, tick: false };
        Ok(match part {
            Part::Text(text) => {
                let (marks, width) = self.short(text, kind)?;
                Sized { width, marks, ..plain }
            }
            Part::Blank(width, what) => Sized { width: *width, blank: Some(what), grows: true, ..plain },
            Part::Short(width, what) => Sized { width: *width, blank: Some(what), ..plain },
            Part::Tick => Sized { width: TICK_ROOM - GAP, tick: true, ..plain },
        })
    }
}

fn length(parts: &[Sized]) -> f32 {
    parts.iter().map(|part| part.width).sum::<f32>() + GAP * parts.len().saturating_sub(1) as f32
}

/// One row; what is left of its width goes to the blanks that grow.
fn draw(row: Vec<Vec<Sized>>, used: f32, width: f32, leaf: NodeId, shape: Shape) -> Stack {
    if row.iter().all(Vec::is_empty) {
        return Stack::default();
    }
    let Shape { height, base, .. } = shape;
    let growing = row.iter().flatten().filter(|part| part.grows).count();
    let more = if growing == 0 { 0.0 } else { (width - used).max(0.0) / growing as f32 };
    let mut marks = Vec::new();
    let mut x = 0.0;
    for field in row {
        for part in field {
            let takes = part.width + if part.grows { more } else { 0.0 };
            if let Some(what) = part.blank {
                let alt = Some(Rc::from(format!("blank for {what}")));
                marks.push(Mark { x, y: base + 2.0, leaf: Some(leaf), alt, ink: Ink::Rule(takes, 0.6) });
            }
            if part.tick {
                let alt = Some(Rc::from("box to tick"));
                marks.push(Mark { x, y: base - TICK + 1.2, leaf: Some(leaf), alt, ink: Ink::Tick(TICK) });
            }
            let at = x;
            marks.extend(part.marks.into_iter().map(|mark| Mark {
                x: mark.x + at,
                y: base,
                leaf: Some(leaf),
                ..mark
            }));
            x += takes + GAP;
        }
        x += shape.gap - GAP;
    }
    Stack::strip(height, Some(base), marks)
}
