//! One column: where its boxes, frames and texts stand.

use super::lines::lines;
use super::measure::bold;
use super::model::{Anchor, Area, COLUMN_WIDTH, Column, Frame, Label, MapBox, Role, TYPE_SIZE};
use super::room::{BESIDE, DEPTH_MOST, FRAME, GAP, INDENT, LEADING, PAD, Placed, STRIP, TRACKS, way};
use super::rows::Row;
use std::ops::Range;

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
