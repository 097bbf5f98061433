//! Fasteners: the order of a pass and a drawing from where they are.

use super::scope::Scope;
use super::step::{Detail, Diagram, Dot};
use crate::clean::clean_line;
use crate::prose::Prose;
use calc::pattern::{Layout, Micrometres, Position, Rule, order, removal, turns};
use calc::quantity::Quantity;
use document::model::{Fasten, Fasteners, LayoutKind, Pass, TighteningOrder};

/// The drawing's units: the longer side of the field of fasteners, and the room round it.
const SIDE: f64 = 216.0;
const MARGIN: i64 = 24;
/// Two fasteners are drawn at least this far apart, so that their circles do not touch.
const APART: f64 = 36.0;
/// Where no pitch is given, only the proportions count.
const PITCH: &str = "40 mm";

impl<'a> Scope<'a> {
    pub(super) fn fastening(&mut self, at: &str, fasten: &'a Fasten) -> (Prose, Detail) {
        let equipment = self.machine();
        let Some(group) = equipment.fasteners.get(&fasten.fasteners) else {
            return (Prose::plain(fasten.fasteners.words()), Detail::Act);
        };
        match pass(group, fasten.pass) {
            Ok((order, positions)) => {
                let text = sentence(&fasten.fasteners.words(), group, fasten.pass, order.len());
                let detail = Detail::Fasten {
                    diagram: diagram(&positions, &turns(&order), &fasten.fasteners.words()),
                    order,
                    numbering: numbering(group.layout),
                    note: group.note.as_deref().map(clean_line),
                };
                (Prose::plain(text), detail)
            }
            Err(message) => {
                let (source, pointer) = (self.procedure.source, format!("{at}/fasten"));
                self.faults.push(super::TextFault { source, pointer, message });
                (Prose::default(), Detail::Act)
            }
        }
    }
}

fn pass(group: &Fasteners, pass: Pass) -> Result<(Vec<usize>, Vec<Position>), String> {
    let pitch =
        Quantity::parse(group.pitch.as_deref().unwrap_or(PITCH)).map_err(|error| error.to_string())?;
    let pitch = Micrometres::from_quantity(&pitch).map_err(|error| error.to_string())?;
    let number = |number: Option<u32>| number.unwrap_or_default() as usize;
    let layout = match group.layout {
        LayoutKind::Line => Layout::Line { count: number(group.count), pitch },
        LayoutKind::Grid => Layout::Grid { rows: number(group.rows), columns: number(group.columns), pitch },
        LayoutKind::Circle => Layout::Circle { count: number(group.count) },
    };
    let rule = match group.order {
        TighteningOrder::CentreOut => Rule::CentreOut,
        TighteningOrder::Crosswise => Rule::Crosswise,
        TighteningOrder::Circular => Rule::Circular,
    };
    let tightening = order(&layout, &rule).map_err(|error| error.to_string())?;
    let positions = layout.positions().map_err(|error| error.to_string())?;
    let order = match pass {
        Pass::Seat | Pass::Tighten => tightening,
        Pass::Loosen => removal(&tightening),
    };
    Ok((order, positions))
}

fn sentence(name: &str, group: &Fasteners, pass: Pass, count: usize) -> String {
    let these = format!("the {count} fasteners of the {name}");
    match (pass, &group.seat, &group.torque) {
        (Pass::Seat, Some(seat), _) => {
            format!("Turn {these} in this order until each is {}.", clean_line(seat))
        }
        (Pass::Seat, None, _) => format!("Turn {these} in this order until each is seated."),
        (Pass::Tighten, _, Some(torque)) => {
            format!("Tighten {these} in this order to {}.", clean_line(torque))
        }
        (Pass::Tighten, _, None) => format!("Tighten {these} in this order."),
        (Pass::Loosen, ..) => format!("Loosen {these} in this order."),
    }
}

fn numbering(layout: LayoutKind) -> &'static str {
    match layout {
        LayoutKind::Line => "numbered from the left",
        LayoutKind::Grid => "numbered row by row from the top left",
        LayoutKind::Circle => "numbered clockwise from the top",
    }
}

fn diagram(positions: &[Position], turns: &[usize], name: &str) -> Diagram {
    let (xs, ys): (Vec<f64>, Vec<f64>) =
        positions.iter().map(|position| (position.x.mm(), position.y.mm())).unzip();
    let least = |values: &[f64]| values.iter().copied().fold(f64::INFINITY, f64::min);
    let most = |values: &[f64]| values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let (left, top) = (least(&xs), least(&ys));
    let (across, down) = (most(&xs) - left, most(&ys) - top);
    let mut scale = SIDE / across.max(down).max(1.0);
    let closest = closest(&xs, &ys);
    if closest > 0.0 {
        scale = scale.max(APART / closest);
    }
    // Few fasteners need no large drawing.
    if positions.len() <= 4 {
        scale = scale.min(90.0 / closest.max(1.0));
    }
    let place = |at: f64, from: f64| ((at - from) * scale).round() as i64 + MARGIN;
    let dots = positions.iter().zip(turns).zip(1..).map(|((position, &turn), number)| Dot {
        number,
        turn,
        x: place(position.x.mm(), left),
        y: place(position.y.mm(), top),
    });
    Diagram {
        label: format!("Fasteners of the {name}: the number in each circle is its turn"),
        width: place(left + across, left) + MARGIN,
        height: place(top + down, top) + MARGIN,
        dots: dots.collect(),
    }
}

/// The smallest distance between two fasteners, in millimetres; 0 for one alone.
fn closest(xs: &[f64], ys: &[f64]) -> f64 {
    let mut least = f64::INFINITY;
    for (at, (x, y)) in xs.iter().zip(ys).enumerate() {
        for (other_x, other_y) in xs.iter().zip(ys).skip(at + 1) {
            least = least.min((x - other_x).hypot(y - other_y));
        }
    }
    if least.is_finite() { least } else { 0.0 }
}
