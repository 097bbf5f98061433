//! The map drawn: boxes, lines and words at the places that the map gives, the words measured anew for these letters.

use crate::error::Error;
use crate::set::{Face, Setter, Type};
use crate::stack::{Fill, Ink, Mark, Stack, Tone};
use crate::tree::{NodeId, Role};
use card::map::{self, Anchor, COLUMN_WIDTH, Column, Label, Map, MapBox, Shape};

/// Points in a tenth of a millimetre.
const UNIT: f32 = 72.0 / 254.0;
const SIZE: f32 = 10.0;
/// Between columns.
const GUTTER: f32 = 8.0;
/// Columns are widened so much at the most: the eye must find from one end of a box to the other.
const STRETCH_MOST: f32 = 1.4;
/// Lines of text in a box stand 40 units apart: squeezed to less than this they would touch.
const SQUEEZE_LEAST: f32 = 0.93;
/// A figure says in one text what it shows, and a text in a file has so many bytes at most (ISO 19005-2, 6.1.13, 2nd; as krilla
/// has it), two or more for each letter.
const SAID_MOST: usize = 32_767;
/// White between a text and the edge of its box, and between two texts on one line.
const EDGE: f32 = 2.0;
const BETWEEN: f32 = 5.0;
/// A sample in the legend, and the height of its row.
const SAMPLE: (f32, f32) = (20.0, 12.0);
const LEGEND_ROW: f32 = 17.0;

/// Points for one unit across and down.
#[derive(Clone, Copy)]
struct Scale {
    x: f32,
    y: f32,
}

impl Setter {
    /// The map as one figure, a strip for each sheet of columns, with the legend on the first; none if a column is too wide
    /// or too high for the room even when set as close as can be read, or if there is too much to say of it.
    pub(crate) fn map(
        &mut self,
        map: &Map,
        room: (f32, f32),
        parent: NodeId,
    ) -> Result<Option<Vec<Stack>>, Error> {
        let said = format!("Map of the steps.\n{}", map::text(map));
        if 2 * said.encode_utf16().count() + 2 > SAID_MOST {
            return Ok(None);
        }
        let natural = COLUMN_WIDTH as f32 * UNIT;
        let fit = ((room.0 + GUTTER) / (natural + GUTTER)) as usize;
        let across = fit.min(map.columns.len());
        let (legend, legend_height) = self.legend(map, room.0)?;
        let tallest = map.columns.iter().map(|column| column.height).max().unwrap_or_default() as f32 * UNIT;
        let squeeze = ((room.1 - legend_height - 1.0) / tallest.max(1.0)).min(1.0);
        if across == 0 || squeeze < SQUEEZE_LEAST {
            return Ok(None);
        }
        let stretch = (room.0 - GUTTER * (across as f32 - 1.0)) / across as f32 / natural;
        let scale = Scale { x: stretch.min(STRETCH_MOST) * UNIT, y: squeeze * UNIT };
        let leaf = self.tree.add(parent, Role::Figure(said));
        let mut sheets = Vec::new();
        for columns in map.columns.chunks(across) {
            let mut marks = Vec::new();
            let mut down = 1.0;
            if sheets.is_empty() {
                marks.extend(legend.iter().cloned());
                down += legend_height;
            }
            let mut x = 0.0;
            let mut height = 0.0_f32;
            for column in columns {
                let drawn = self.column(column, scale)?;
                marks.extend(drawn.into_iter().map(|mark| Mark { x: mark.x + x, y: mark.y + down, ..mark }));
                x += COLUMN_WIDTH as f32 * scale.x + GUTTER;
                height = height.max(column.height as f32 * scale.y);
            }
            marks.iter_mut().for_each(|mark| mark.leaf = Some(leaf));
            sheets.push(Stack::strip(down + height, None, marks));
        }
        Ok(Some(sheets))
    }

    /// The kinds of boxes with their words, in as few rows as they fit in, and the height of them.
    fn legend(&mut self, map: &Map, width: f32) -> Result<(Vec<Mark>, f32), Error> {
        let mut marks = Vec::new();
        let (mut x, mut y) = (0.0, 0.0);
        for (shape, word) in &map.legend {
            let (text, wide) = self.short(word, Type { size: SIZE, face: Face::Plain, tone: Tone::Black })?;
            let whole = SAMPLE.0 + 5.0 + wide;
            if x > 0.0 && x + whole > width {
                (x, y) = (0.0, y + LEGEND_ROW);
            }
            a_box(*shape, (x + 1.0, y + 1.0), SAMPLE, 0.0, &mut marks);
            marks.extend(placed(text, x + SAMPLE.0 + 5.0, y + 10.5));
            x += whole + 14.0;
        }
        Ok((marks, if map.legend.is_empty() { 0.0 } else { y + LEGEND_ROW + 3.0 }))
    }

    fn column(&mut self, column: &Column, scale: Scale) -> Result<Vec<Mark>, Error> {
        let at = |x: i32, y: i32| (x as f32 * scale.x, y as f32 * scale.y);
        let mut marks = Vec::new();
        for frame in &column.frames {
            let ((x, y), (width, height)) =
                (at(frame.area.x, frame.area.y), at(frame.area.width, frame.area.height));
            marks.push(Mark::layout(x, y, Ink::Dashed { width, height, line: 0.6 }));
        }
        for line in &column.lines {
            let points = line.points.iter().map(|&(x, y)| at(x, y)).collect();
            marks.push(Mark::layout(0.0, 0.0, Ink::Way { points, arrow: line.arrow }));
        }
        for one in &column.boxes {
            let area = one.area;
            a_box(one.shape, at(area.x, area.y), at(area.width, area.height), at(one.cell, 0).0, &mut marks);
        }
        // What stands on one base line shares the room.
        let mut labels: Vec<&Label> = column.labels.iter().collect();
        labels.sort_by_key(|label| label.y);
        for line in labels.chunk_by(|one, other| one.y == other.y) {
            let holding = column.boxes.iter().find(|one| {
                (one.area.y..one.area.y + one.area.height).contains(&line.first().map_or(0, |label| label.y))
            });
            self.base_line(line, holding, scale, &mut marks)?;
        }
        Ok(marks)
    }

    /// Sets the texts of one base line: ways out from the right first, which lose no number; titles take what is left.
    fn base_line(
        &mut self,
        line: &[&Label],
        holding: Option<&MapBox>,
        scale: Scale,
        marks: &mut Vec<Mark>,
    ) -> Result<(), Error> {
        let (left, mut right) = match holding {
            Some(one) => (
                (one.area.x + one.cell) as f32 * scale.x + EDGE,
                (one.area.x + one.area.width) as f32 * scale.x - EDGE,
            ),
            None => (0.0, COLUMN_WIDTH as f32 * scale.x),
        };
        let mut ways: Vec<&&Label> = line.iter().filter(|label| label.anchor == Anchor::End).collect();
        ways.sort_by_key(|label| -label.x);
        for label in ways {
            let (text, wide) = self.fitted(&label.text, kind(label, holding), right - left)?;
            marks.extend(placed(text, right - wide, label.y as f32 * scale.y));
            right -= wide + BETWEEN;
        }
        for label in line.iter().filter(|label| label.anchor != Anchor::End) {
            let (x, y) = (label.x as f32 * scale.x, label.y as f32 * scale.y);
            let kind = kind(label, holding);
            let (text, x) = if label.anchor == Anchor::Middle {
                let (text, wide) = self.short(&label.text, kind)?;
                (text, x - wide / 2.0)
            } else {
                (self.fitted(&label.text, kind, right - x)?.0, x)
            };
            marks.extend(placed(text, x, y));
        }
        Ok(())
    }

    /// A text cut to a room, with dots where something is left out; never the arrow and the number that it leads to.
    fn fitted(&mut self, text: &str, kind: Type, room: f32) -> Result<(Vec<Mark>, f32), Error> {
        let whole = self.short(text, kind)?;
        if whole.1 <= room {
            return Ok(whole);
        }
        let (cut, end) = text.rfind('→').map_or((text, ""), |arrow| text.split_at(arrow));
        let mut kept: Vec<char> = cut.trim_end().trim_end_matches('…').chars().collect();
        while kept.pop().is_some() {
            let shorter: String = kept.iter().collect();
            let white = if end.is_empty() { "" } else { " " };
            let set = self.short(&format!("{}…{white}{end}", shorter.trim_end()), kind)?;
            if set.1 <= room {
                return Ok(set);
            }
        }
        self.short(if end.is_empty() { "…" } else { end }, kind)
    }
}

fn kind(label: &Label, holding: Option<&MapBox>) -> Type {
    let plain = Type { size: SIZE, face: Face::Plain, tone: Tone::Black };
    match label.role {
        map::Role::Number => {
            let dark = holding.is_some_and(|one| one.shape == Shape::Look);
            Type { tone: if dark { Tone::White } else { Tone::Black }, ..plain.strong() }
        }
        map::Role::Stop => plain.strong(),
        map::Role::Strip => Type { tone: Tone::Grey, ..plain.slanted() },
        map::Role::Title | map::Role::Way => plain,
    }
}

fn placed(text: Vec<Mark>, x: f32, y: f32) -> impl Iterator<Item = Mark> {
    text.into_iter().map(move |mark| Mark { x: mark.x + x, y, ..mark })
}

/// A box with the cell of its number; a sample is a cell alone.
fn a_box(shape: Shape, (x, y): (f32, f32), (width, height): (f32, f32), cell: f32, marks: &mut Vec<Mark>) {
    let (thin, thick) = (1.0, 2.4);
    let box_line = if shape == Shape::Hold { thick } else { thin };
    let cell_line = if shape == Shape::Block { thick } else { box_line };
    let ground = match shape {
        Shape::Look => Fill::Black,
        Shape::End | Shape::Act | Shape::Wait | Shape::Hold | Shape::Block => Fill::Pale,
    };
    let mut area = |width, line, fill, radius| {
        let ink = Ink::Area { width, height, line, fill, radius };
        marks.push(Mark::layout(x, y, ink));
    };
    match shape {
        Shape::End => area(width, thin, Fill::Pale, (height / 2.0).min(6.0)),
        Shape::Wait => {
            for width in [width, cell] {
                marks.push(Mark::layout(x, y, Ink::Dashed { width, height, line: thin }));
            }
        }
        Shape::Act | Shape::Look | Shape::Hold | Shape::Block if cell <= 0.0 => {
            area(width, cell_line, ground, 1.5)
        }
        Shape::Act | Shape::Look | Shape::Hold | Shape::Block => {
            area(width, box_line, Fill::White, 1.5);
            area(cell, cell_line, ground, 1.5);
        }
    }
}
