//! The lines of one column: straight down from box to box, and on tracks at the right for jumps.

use super::model::{COLUMN_WIDTH, Line, MapBox, Shape};
use super::room::{GAP_BELOW, Placed, TRACKS};
use super::rows::Row;
use std::collections::BTreeMap;
use std::ops::Range;

/// From one track to the next.
const APART: i32 = 20;
/// From the left edge of a box to the line that comes in from above.
const ENTRY: i32 = 30;

pub(super) fn lines(rows: &[Row], placed: &[Placed], boxes: &[MapBox], range: &Range<usize>) -> Vec<Line> {
    let mut lines = straight(rows, boxes, range);
    // All jumps to one row share a track, as lines of pipes share a rack.
    let mut buses: BTreeMap<usize, Vec<(usize, usize)>> = BTreeMap::new();
    for at in range.clone() {
        for (exit, way) in rows[at].exits.iter().enumerate() {
            let to = range.clone().find(|&other| rows[other].number == way.to);
            // The next row is reached by the straight line.
            if let Some(to) = to.filter(|&to| to != at + 1 || rows[at].shape == Shape::End) {
                buses.entry(to).or_default().push((at, exit));
            }
        }
    }
    let span = |to: usize, from: &[(usize, usize)]| {
        let all = || from.iter().map(|(at, _)| *at).chain([to]);
        (all().min().unwrap_or(to), all().max().unwrap_or(to))
    };
    let mut order: Vec<(usize, Vec<(usize, usize)>)> = buses.into_iter().collect();
    // Short jumps run next to the boxes.
    order.sort_by_key(|(to, from)| {
        let (first, last) = span(*to, from);
        (last - first, *to)
    });
    let mut tracks: Vec<Vec<(usize, usize)>> = Vec::new();
    for (to, from) in order {
        let (first, last) = span(to, &from);
        let free = tracks.iter().position(|taken| taken.iter().all(|&(one, two)| last < one || two < first));
        let track = free.unwrap_or(tracks.len());
        // Where the room is taken, the box's own words have to do.
        let x = COLUMN_WIDTH - TRACKS + (track as i32 + 1) * APART;
        if x > COLUMN_WIDTH - 5 {
            continue;
        }
        if free.is_none() {
            tracks.push(Vec::new());
        }
        tracks[track].push((first, last));
        let target = boxes[to - range.start].area;
        let entry = (target.x + target.width, target.y + 16);
        for (at, exit) in from {
            let area = boxes[at - range.start].area;
            let y = area.y + placed[at].leaves_at(exit);
            let points = vec![(area.x + area.width, y), (x, y), (x, entry.1), entry];
            lines.push(Line { points, arrow: true });
        }
    }
    lines
}

fn straight(rows: &[Row], boxes: &[MapBox], range: &Range<usize>) -> Vec<Line> {
    let mut lines = Vec::new();
    for at in range.clone() {
        let area = boxes[at - range.start].area;
        let x = area.x.max(next_left(boxes, range, at)) + ENTRY;
        let bottom = area.y + area.height;
        let leads_next =
            |next: &Row| rows[at].falls || rows[at].exits.iter().any(|exit| exit.to == next.number);
        let Some(next) = rows.get(at + 1).filter(|next| leads_next(next)) else { continue };
        if at + 1 < range.end {
            let to = boxes[at + 1 - range.start].area;
            lines.push(Line { points: vec![(x, bottom), (x, to.y)], arrow: true });
        } else if rows[at].falls && !next.number.is_empty() {
            lines.push(Line { points: vec![(x, bottom), (x, bottom + GAP_BELOW)], arrow: true });
        }
    }
    // The first box of a further column is come to from its strip.
    if range.start > 0 && rows[range.start - 1].falls {
        let area = boxes[0].area;
        let x = area.x + ENTRY;
        lines.push(Line { points: vec![(x, area.y - 22), (x, area.y)], arrow: true });
    }
    lines
}

/// The left edge of the box below, so that a line down meets both.
fn next_left(boxes: &[MapBox], range: &Range<usize>, at: usize) -> i32 {
    if at + 1 < range.end { boxes[at + 1 - range.start].area.x } else { 0 }
}
