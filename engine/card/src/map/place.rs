//! One column: where its boxes, frames and texts stand.

use super::lines::lines;
use super::measure::{self, bold, cut, two_lines, width};
use super::rows::{Exit, Row};
use super::{Anchor, Area, COLUMN_WIDTH, Column, Frame, Label, MapBox, Role, Shape, TYPE_SIZE};
use std::ops::Range;

/// From one base line to the next.
const LEADING: i32 = 40;
/// Between a box's edge and its text.
const PAD: i32 = 8;
/// Between one box and the next, so that an arrow has room.
const GAP: i32 = 27;
/// A map of more rows is set close: short titles on one line, ways out side by side.
const CLOSE: usize = 45;
/// Between two ways out on one line.
const BESIDE: i32 = 30;
/// Length of the arrow that leads out of a column.
pub(super) const GAP_BELOW: i32 = GAP - 4;
/// Between a frame and what stands in it.
const FRAME: i32 = 14;
/// How far a block's steps are moved in.
const INDENT: i32 = 24;
/// Room at the right of the boxes for lines.
pub(super) const TRACKS: i32 = 90;
/// Height of a strip that says where a column goes on from or to.
pub(super) const STRIP: i32 = 50;
/// Steps deeper than this are moved in no further.
const DEPTH_MOST: usize = 3;

/// A row with the room it takes.
pub(super) struct Placed {
    title: Vec<String>,
    /// The ways out, by lines.
    ways: Vec<Vec<usize>>,
    /// Whether the first of these lines stands beside the title.
    beside: bool,
    cell: i32,
    left: i32,
    width: i32,
    /// Room above, where frames begin.
    above: i32,
    height: i32,
    /// Room below, where frames end and the arrow leads on.
    below: i32,
}

impl Placed {
    pub(super) fn of(rows: &[Row], at: usize, row: &Row) -> Self {
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

/// Places the rows of one column.
pub(super) fn place(rows: &[Row], placed: &[Placed], range: Range<usize>) -> Column {
    let goes_on = range.end < rows.len();
    let from = range.start.checked_sub(1).map(|before| strip_from(rows, before));
    let from = from.filter(|text| !text.is_empty());
    let mut labels: Vec<Label> = Vec::new();
    let mut y = 0;
    if let Some(text) = from {
        labels.push(strip(&text, y));
        y += STRIP;
    }
    y += depth_here(rows, range.start) * FRAME;
    let mut boxes: Vec<MapBox> = Vec::new();
    for at in range.clone() {
        let (row, room) = (&rows[at], &placed[at]);
        y += room.above;
        let area = Area { x: room.left, y, width: room.width, height: room.height };
        boxes.push(MapBox { shape: row.shape, area, cell: room.cell });
        texts(row, room, area, &mut labels);
        y += room.height + room.below;
    }
    let frames = frames(rows, &boxes, &range);
    let lines = lines(rows, placed, &boxes, &range);
    if goes_on && rows[range.end - 1].falls {
        let text = format!("on to {}", rows[range.end].number);
        labels.push(strip(&text, y));
        y += STRIP;
    } else {
        let ends = frames.iter().map(|frame| frame.area.y + frame.area.height);
        y = ends.max().unwrap_or(0).max(y - GAP);
    }
    Column { height: y, frames, lines, boxes, labels }
}

/// How many blocks a row lies in that began before it.
fn depth_here(rows: &[Row], at: usize) -> i32 {
    rows.iter().enumerate().take(at).filter(|(block, row)| block + row.holds >= at).count() as i32
}

fn strip_from(rows: &[Row], before: usize) -> String {
    let inside = rows.iter().enumerate().take(before + 1).rfind(|(block, row)| block + row.holds > before);
    let from = if rows[before].falls { format!("from {}", rows[before].number) } else { String::new() };
    match (inside, from.is_empty()) {
        (Some((_, block)), true) => format!("inside {}", block.number),
        (Some((_, block)), false) => format!("{from}, inside {}", block.number),
        (None, _) => from,
    }
}

fn strip(text: &str, y: i32) -> Label {
    let x = FRAME + 2 * PAD + 30;
    Label { x, y: y + 34, text: text.to_owned(), anchor: Anchor::Start, role: Role::Strip }
}

fn texts(row: &Row, room: &Placed, area: Area, labels: &mut Vec<Label>) {
    let base = |line: usize| area.y + PAD + line as i32 * LEADING + TYPE_SIZE - 2;
    if room.cell > 0 {
        labels.push(Label {
            x: area.x + room.cell / 2,
            y: base(0),
            text: row.number.clone(),
            anchor: Anchor::Middle,
            role: Role::Number,
        });
    }
    let x = area.x + room.cell + PAD;
    for (line, text) in room.title.iter().enumerate() {
        labels.push(Label { x, y: base(line), text: text.clone(), anchor: Anchor::Start, role: Role::Title });
    }
    let first = if room.beside { 0 } else { room.title.len() };
    for (line, exits) in (first..).zip(&room.ways) {
        let mut x = area.x + area.width - PAD;
        for exit in exits.iter().rev().filter_map(|&at| row.exits.get(at)) {
            let text = way(exit, area.width - room.cell - 2 * PAD);
            let role = if exit.stops { Role::Stop } else { Role::Way };
            let wide = bold(&text);
            labels.push(Label { x, y: base(line), text, anchor: Anchor::End, role });
            x -= wide + BESIDE;
        }
    }
}

/// "no → 24", cut where the answer is long.
fn way(exit: &Exit, room: i32) -> String {
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

/// A frame round each block, as much of it as stands in this column.
fn frames(rows: &[Row], boxes: &[MapBox], range: &Range<usize>) -> Vec<Frame> {
    let here = |(block, row): (usize, &Row)| {
        let (first, last) = (block.max(range.start), (block + row.holds).min(range.end - 1));
        (row.holds > 0 && first <= last && last >= range.start).then_some((
            row.depth.min(DEPTH_MOST),
            first,
            last,
        ))
    };
    let blocks: Vec<(usize, usize, usize)> = rows.iter().enumerate().filter_map(here).collect();
    let frame = |&(depth, first, last): &(usize, usize, usize)| {
        let (top, bottom) = (&boxes[first - range.start].area, &boxes[last - range.start].area);
        let x = depth as i32 * INDENT;
        let width = COLUMN_WIDTH - TRACKS - x - depth as i32 * FRAME;
        // Frames that end or begin with the same row do so one outside the other.
        let inside = |edge: &dyn Fn(&(usize, usize, usize)) -> bool| {
            FRAME * (1 + blocks.iter().filter(|other| other.0 > depth && edge(other)).count() as i32)
        };
        let y = top.y - inside(&|other| other.1 == first);
        let end = bottom.y + bottom.height + inside(&|other| other.2 == last);
        Frame { area: Area { x, y, width, height: end - y } }
    };
    blocks.iter().map(frame).collect()
}
