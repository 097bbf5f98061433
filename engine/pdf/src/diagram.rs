//! Where the fasteners are, drawn: in each circle the turn at which it is done, under it its number.

use crate::error::Error;
use crate::set::{Face, Setter, Type};
use crate::stack::{Fill, Ink, Mark, Stack, Tone};
use crate::tree::{NodeId, Role};
use card::page::Diagram;

/// Radius of a circle in the drawing's units.
const RADIUS: f32 = 15.0;
/// Points for one of the drawing's units: as wanted, and at the least, where two figures of 10 pt just fit into a circle.
const SCALE: f32 = 0.66;
const SCALE_LEAST: f32 = 0.56;

impl Setter {
    /// The drawing; none if it fits the room only with figures too small to read.
    pub(crate) fn diagram(
        &mut self,
        drawing: &Diagram,
        room: (f32, f32),
        parent: NodeId,
    ) -> Result<Option<(Stack, f32)>, Error> {
        let size = (drawing.width as f32, drawing.height as f32);
        let wanted = if self.format.narrow { SCALE_LEAST } else { SCALE };
        let scale = wanted.min(room.0 / size.0).min(room.1 / size.1);
        if scale < SCALE_LEAST {
            return Ok(None);
        }
        let figure =
            Some(self.tree.add(parent, Role::Figure(format!("{}. {}", drawing.label, drawing.words))));
        let (width, height) = (size.0 * scale, size.1 * scale);
        let area =
            Ink::Area { width: width - 1.0, height: height - 1.0, line: 1.0, fill: Fill::None, radius: 7.0 };
        let mut marks = vec![Mark { x: 0.5, y: 0.5, leaf: figure, alt: None, ink: area }];
        let kind = Type { size: 10.0, face: Face::Strong, tone: Tone::Black };
        let plain = Type { size: 10.0, face: Face::Plain, tone: Tone::Black };
        for dot in &drawing.dots {
            let (x, y) = (dot.x as f32 * scale, dot.y as f32 * scale);
            marks.push(Mark { x, y, leaf: figure, alt: None, ink: Ink::Circle(RADIUS * scale) });
            // Before the turn: circles are filled.
            if dot.turn == 1 {
                marks.push(Mark { x, y, leaf: figure, alt: None, ink: Ink::Circle((RADIUS - 4.0) * scale) });
            }
            let (number, wide) = self.short(&dot.turn.to_string(), kind)?;
            marks.extend(number.into_iter().map(|mark| Mark {
                x: mark.x + x - wide / 2.0,
                y: y + 3.5,
                leaf: figure,
                ..mark
            }));
            let (number, wide) = self.short(&dot.number.to_string(), plain)?;
            marks.extend(number.into_iter().map(|mark| Mark {
                x: mark.x + x - wide / 2.0,
                y: y + RADIUS * scale + 9.0,
                leaf: figure,
                ..mark
            }));
        }
        Ok(Some((Stack::strip(height, None, marks), width)))
    }
}
