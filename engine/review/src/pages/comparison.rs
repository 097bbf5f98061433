//! What changed, as a sheet.

use super::table_or;
use crate::compare::{Change, Class, Comparison, Group, NOT_COMPARED, Side, shown};
use card::sheet::{Block, Cell, Line, Part, Sheet, Tone};
use document::SourceId;

/// What changed between two revisions, safety first.
#[must_use]
pub fn comparison(comparison: &Comparison, old: &Side<'_>, new: &Side<'_>) -> Sheet {
    let file = |side: &Side<'_>| {
        let SourceId(at) = side.procedure.source;
        let source = &side.library.sources[at as usize].name;
        format!("revision {}, {source}", side.procedure.model.revision)
    };
    let model = &new.procedure.model;
    let mut parts: Vec<Part> = GROUPS
        .into_iter()
        .map(|(group, title)| Part::new(group.word(), title, rows(comparison, group, old, new)))
        .collect();
    if !comparison.states_compared
        && let Some(part) = parts.first_mut()
    {
        part.blocks.insert(0, Block::line(Line::from(NOT_COMPARED).toned(Tone::Against)));
    }
    Sheet {
        title: format!("What changed: {}", model.title),
        running: format!("{}, revision {}", model.procedure, model.revision),
        content: new.library.content_hash(&model.procedure).unwrap_or_default(),
        day: None,
        // Dates are written so that the latest is the greatest.
        effective: old.procedure.model.effective.clone().max(model.effective.clone()),
        mark: String::new(),
        verdict: Some(verdict(comparison)),
        facts: vec![
            ("Procedure".to_owned(), model.procedure.to_string()),
            ("Before".to_owned(), file(old)),
            ("Now".to_owned(), file(new)),
        ],
        parts,
    }
}

const GROUPS: [(Group, &str); 3] =
    [(Group::Safety, "Safety"), (Group::Figures, "Figures"), (Group::Wording, "Wording")];

/// What the differences come to, in a line.
pub(super) fn verdict(comparison: &Comparison) -> Line {
    let tone = if comparison.class() == Class::Weakened { Tone::Against } else { Tone::For };
    Line::from(card::capital(&comparison.summary()) + ".").toned(tone)
}

/// The differences under lesser headings, for a part of another sheet.
pub(super) fn blocks(comparison: &Comparison, old: &Side<'_>, new: &Side<'_>) -> Vec<Block> {
    let mut blocks = vec![Block::line(verdict(comparison))];
    if !comparison.states_compared {
        blocks.push(Block::line(Line::from(NOT_COMPARED).toned(Tone::Against)));
    }
    for (group, title) in GROUPS {
        blocks.push(Block::Heading(title.to_owned()));
        blocks.extend(rows(comparison, group, old, new));
    }
    blocks
}

/// The differences of one group.
fn rows(comparison: &Comparison, group: Group, old: &Side<'_>, new: &Side<'_>) -> Vec<Block> {
    let row = |change: &Change| {
        let mut lines = vec![Line::led(card::capital(change.what.words()), &change.message)];
        for (word, side, place) in [("before", old, &change.old), ("now", new, &change.new)] {
            let place = place.as_ref().map(|place| Line::from(format!("{word} {}", shown(side, place))));
            lines.extend(place.map(|line| line.toned(Tone::Place)));
        }
        let class = Line::from(change.class.word()).toned(match change.class {
            Class::Weakened => Tone::Against,
            Class::Strengthened => Tone::For,
            Class::Neutral => Tone::Plain,
        });
        vec![Cell::from(class), Cell { lines, trace: change.trace.clone() }]
    };
    let rows = comparison.changes.iter().filter(|change| change.group == group).map(row).collect();
    vec![table_or(&[("Class", 20), ("What changed, and where it stands", 80)], rows, "No difference.")]
}
