//! Fasteners: the passes over a group and a drawing from where they are.

use super::fault::TextFault;
use super::scope::Scope;
use super::step::{Detail, Diagram, Dot, PassRow};
use crate::clean::clean_line;
use crate::prose::Prose;
use calc::pattern::{Position, turns};
use calc::quantity::System;
use document::model::{Fasten, Fasteners, LayoutKind, Pass};
use document::{FastenPass, passes, tightening, torque};

/// The drawing's units: the longer side of the field of fasteners, and the room round it.
const SIDE: f64 = 240.0;
const MARGIN: i64 = 24;
/// Two fasteners are drawn at least this far apart, so that neither their circles nor their numbers touch.
const APART: f64 = 48.0;
/// The number of a fastener stands under its circle; the lowest ones need room for it.
const NUMBER_ROOM: i64 = 16;

impl<'a> Scope<'a> {
    pub(super) fn fastening(&mut self, at: &str, fasten: &'a Fasten) -> (Prose, Detail) {
        let equipment = self.machine();
        let Some(group) = equipment.fasteners.get(&fasten.fasteners) else {
            return (Prose::plain(fasten.fasteners.words()), Detail::Act);
        };
        match worked(group, fasten.pass, equipment.system()) {
            Ok((passes, positions, torque)) => {
                let name = fasten.fasteners.words();
                let order = passes.first().map(|pass| pass.order.clone()).unwrap_or_default();
                let detail = Detail::Fasten {
                    diagram: diagram(&positions, &order, &name),
                    passes: rows(passes),
                    numbering: numbering(group.layout),
                    note: group.note.as_deref().map(clean_line),
                };
                (Prose::plain(sentence(&name, group, fasten.pass, positions.len(), torque)), detail)
            }
            Err(message) => {
                let (source, pointer) = (self.procedure.source, format!("{at}/fasten"));
                self.faults.push(TextFault { source, pointer, message });
                (Prose::default(), Detail::Act)
            }
        }
    }
}

/// The passes, where the fasteners are, and the torque in the units that the equipment asks for.
type Worked = (Vec<FastenPass>, Vec<Position>, Option<String>);

fn worked(group: &Fasteners, pass: Pass, system: System) -> Result<Worked, String> {
    let torque = group.torque.as_ref().map(|_| torque(group)).transpose();
    let torque = torque.map_err(|error| error.to_string())?.map(|full| system.show(full));
    let passes = passes(group, pass, system).map_err(|error| error.to_string())?;
    let layout = tightening(group).map_err(|error| error.to_string())?.layout;
    Ok((passes, layout.positions().map_err(|error| error.to_string())?, torque))
}

fn rows(passes: Vec<FastenPass>) -> Vec<PassRow> {
    let count = passes.len();
    let label = |number: usize, words: &str| match count {
        1 => String::new(),
        _ => format!("Pass {number} of {count}, {}", clean_line(words)),
    };
    (1..)
        .zip(passes)
        .map(|(number, pass)| PassRow { label: label(number, &pass.words), order: pass.order })
        .collect()
}

fn sentence(name: &str, group: &Fasteners, pass: Pass, count: usize, torque: Option<String>) -> String {
    let these = format!("the {count} fasteners of the {name}");
    match (pass, &group.seat, torque) {
        (Pass::Seat, Some(seat), _) => {
            format!("Turn {these} in this order until each is {}.", clean_line(seat))
        }
        (Pass::Seat, None, _) => format!("Turn {these} in this order until each is seated."),
        (Pass::Tighten, _, Some(torque)) => {
            format!("Tighten {these} in this order to {torque}.")
        }
        (Pass::Tighten, _, None) => format!("Tighten {these} in this order."),
        (Pass::Loosen, ..) => format!("Loosen {these} in this order."),
    }
}

fn numbering(layout: LayoutKind) -> &'static str {
    match layout {
        LayoutKind::Line => "numbered from the left",
        LayoutKind::Grid => "numbered row by row from the top left",
        LayoutKind::Edge => "numbered clockwise from the top left",
        LayoutKind::Circle => "numbered clockwise from the top",
        LayoutKind::Free => "numbered as drawn",
    }
}

fn diagram(positions: &[Position], order: &[usize], name: &str) -> Diagram {
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
    let dots = positions.iter().zip(turns(order)).zip(1..).map(|((position, turn), number)| Dot {
        number,
        turn,
        x: place(position.x.mm(), left),
        y: place(position.y.mm(), top),
    });
    let turns: Vec<String> =
        (1..).zip(order).map(|(turn, number)| format!("turn {turn} is fastener {number}")).collect();
    Diagram {
        label: format!("Fasteners of the {name}: the number in each circle is its turn"),
        words: crate::capital(&format!("{}.", turns.join(", "))),
        width: place(left + across, left) + MARGIN,
        height: place(top + down, top) + MARGIN + NUMBER_ROOM,
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
