//! The room that a row takes.

use super::measure::{self, bold, cut, two_lines, width};
use super::model::{COLUMN_WIDTH, Shape};
use super::rows::{Exit, Row};

/// From one base line to the next.
pub(super) const LEADING: i32 = 40;
/// Between a box's edge and its text.
pub(super) const PAD: i32 = 8;
/// Between one box and the next, so that an arrow has room.
pub(super) const GAP: i32 = 27;
/// A map of more rows is set close: short titles on one line, ways out side by side.
const CLOSE: usize = 45;
/// Between two ways out on one line.
pub(super) const BESIDE: i32 = 30;
/// Length of the arrow that leads out of a column.
pub(super) const GAP_BELOW: i32 = GAP - 4;
/// Between a frame and what stands in it.
pub(super) const FRAME: i32 = 14;
/// How far a block's steps are moved in.
pub(super) const INDENT: i32 = 24;
/// Room at the right of the boxes for lines.
pub(super) const TRACKS: i32 = 90;
/// Height of a strip that says where a column goes on from or to.
pub(super) const STRIP: i32 = 50;
/// Steps deeper than this are moved in no further.
pub(super) const DEPTH_MOST: usize = 3;

/// A row with the room it takes.
pub(super) struct Placed {
    pub(super) title: Vec<String>,
    /// The ways out, by lines.
    pub(super) ways: Vec<Vec<usize>>,
    /// Whether the first of these lines stands beside the title.
    pub(super) beside: bool,
    pub(super) cell: i32,
    pub(super) left: i32,
    pub(super) width: i32,
    /// Room above, where frames begin.
    pub(super) above: i32,
    pub(super) height: i32,
    /// Room below, where frames end and the arrow leads on.
    pub(super) below: i32,
}

impl Placed {
    pub(super) fn measure(rows: &[Row], at: usize, row: &Row) -> Self {
        let depth = row.depth.min(DEPTH_MOST) as i32;
        let left = depth * INDENT + FRAME;
        let width = COLUMN_WIDTH - TRACKS - left - (depth + 1) * FRAME;
        let cell = if row.shape == Shape::End { 0 } else { bold(&row.number).max(bold("00")) + 2 * PAD };
        let room = width - cell - 2 * PAD;
        let close = rows.len() > CLOSE;
        let title =
            if close { vec![cut(&row.title, room, measure::width)] } else { two_lines(&row.title, room) };
        let ways = if close {
            side_by_side(&row.exits, room)
        } else {
            (0..row.exits.len()).map(|at| vec![at]).collect()
        };
        let beside = close
            && ways.len() == 1
            && title.iter().map(|text| measure::width(text)).sum::<i32>()
                + row.exits.iter().map(|exit| bold(&way(exit, room)) + BESIDE).sum::<i32>()
                <= room;
        let lines = (title.len() + ways.len()) as i32 - i32::from(beside);
        let ends = closing(rows, at);
        Self {
            title,
            ways,
            beside,
            cell,
            left,
            width,
            above: if row.holds > 0 { FRAME } else { 0 },
            height: lines * LEADING + 2 * PAD,
            below: GAP + FRAME * ends,
        }
    }

    pub(super) fn whole(&self) -> i32 {
        self.above + self.height + self.below
    }

    /// The height in a box at which the line of a way out leaves it.
    pub(super) fn leaves_at(&self, exit: usize) -> i32 {
        if self.beside {
            // Below the line that comes in.
            return self.height - 2 * PAD;
        }
        let line = self.ways.iter().position(|line| line.contains(&exit)).unwrap_or_default();
        PAD + (self.title.len() + line) as i32 * LEADING + LEADING / 2
    }
}

/// The ways out on as few lines as they fit on, in their order.
fn side_by_side(exits: &[Exit], room: i32) -> Vec<Vec<usize>> {
    let mut lines: Vec<Vec<usize>> = Vec::new();
    let mut used = 0;
    for (at, exit) in exits.iter().enumerate() {
        let wide = bold(&way(exit, room));
        match lines.last_mut().filter(|_| used + BESIDE + wide <= room) {
            Some(line) => line.push(at),
            None => {
                lines.push(vec![at]);
                used = -BESIDE;
            }
        }
        used += BESIDE + wide;
    }
    lines
}

/// How many blocks end with a row.
fn closing(rows: &[Row], at: usize) -> i32 {
    rows.iter().take(at).enumerate().filter(|(block, row)| row.holds > 0 && block + row.holds == at).count()
        as i32
}

/// "no → 24", cut where the answer is long.
pub(super) fn way(exit: &Exit, room: i32) -> String {
    let goes = format!("→ {}", exit.to);
    match &exit.when {
        Some(when) => {
            let fits = |text: &str| if exit.stops { bold(text) } else { width(text) };
            let when = cut(when, room - fits(&format!(" {goes}")), fits);
            format!("{when} {goes}")
        }
        None => goes,
    }
}
