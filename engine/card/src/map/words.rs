//! The map as text, for people who do not see it: every step with every way out of it.

use super::model::{Map, Way};

/// One line a step, in the order of the map: "12 → 13; no → 26".
#[must_use]
pub fn text(map: &Map) -> String {
    lines(map).iter().map(|line| format!("{line}\n")).collect()
}

pub(crate) fn lines(map: &Map) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for ways in map.ways.chunk_by(|one, other| one.from == other.from) {
        let each: Vec<String> = ways.iter().map(way).collect();
        if let Some(first) = ways.first() {
            lines.push(format!("{}: {}", first.from, each.join("; ")));
        }
    }
    lines
}

fn way(way: &Way) -> String {
    match &way.when {
        Some(when) => format!("{when} -> {}", way.to),
        None => format!("-> {}", way.to),
    }
}
