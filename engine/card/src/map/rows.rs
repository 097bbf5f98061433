//! Steps as rows of the map, each with the ways out of it.

use super::model::{Shape, Way};
use crate::page::{Detail, Route, StepBox};

/// One row: a step, the beginning, or an end.
#[derive(Clone, Debug)]
pub(super) struct Row {
    /// Its number; "start", "done" or "stop" for the others.
    pub(super) number: String,
    pub(super) title: String,
    pub(super) shape: Shape,
    pub(super) exits: Vec<Exit>,
    /// Whether the way goes on to the next row.
    pub(super) falls: bool,
    /// How many blocks it lies in.
    pub(super) depth: usize,
    /// How many rows after it belong to it, if it is a block.
    pub(super) holds: usize,
}

/// A way out that a box names.
#[derive(Clone, Debug)]
pub(super) struct Exit {
    pub(super) when: Option<String>,
    /// The number of the row it leads to.
    pub(super) to: String,
    pub(super) stops: bool,
}

pub(super) fn rows(steps: &[StepBox]) -> Vec<Row> {
    let end = |number: &str, title: &str, falls| Row {
        number: number.to_owned(),
        title: title.to_owned(),
        shape: Shape::End,
        exits: Vec::new(),
        falls,
        depth: 0,
        holds: 0,
    };
    let mut rows = vec![end("start", "Start", true)];
    list(steps, 0, true, &mut rows);
    rows.push(end("done", "Done: see Restoration", false));
    if rows.iter().flat_map(|row| &row.exits).any(|exit| exit.stops) {
        rows.push(end("stop", "Stop work", false));
    }
    rows
}

fn list(steps: &[StepBox], depth: usize, in_order: bool, rows: &mut Vec<Row>) {
    for (at, step) in steps.iter().enumerate() {
        let last = at + 1 == steps.len();
        let mut exits: Vec<Exit> = match &step.detail {
            Detail::Ask { answers } => answers.iter().map(|way| exit(Some(way.when.clone()), way)).collect(),
            Detail::Act
            | Detail::Confirm { .. }
            | Detail::Measure { .. }
            | Detail::Wait { .. }
            | Detail::Hold { .. }
            | Detail::Fasten { .. }
            | Detail::Perform
            | Detail::AnyOrder
            | Detail::Repeat { .. } => Vec::new(),
        };
        if !matches!(step.detail, Detail::Repeat { .. }) {
            exits.extend(step.routes.iter().map(|way| exit(when(step, way), way)));
        }
        let then = step.routes.iter().any(is_then);
        let falls = match &step.detail {
            Detail::Ask { .. } => false,
            Detail::AnyOrder => step.inner.is_empty(),
            Detail::Repeat { .. } => true,
            // Any item may be the last; the way on is drawn from the one written last.
            Detail::Act
            | Detail::Confirm { .. }
            | Detail::Measure { .. }
            | Detail::Wait { .. }
            | Detail::Hold { .. }
            | Detail::Fasten { .. }
            | Detail::Perform => !then && (in_order || last),
        };
        let own = rows.len();
        rows.push(Row {
            number: step.number.clone(),
            title: step.id.replace('-', " "),
            shape: shape(step),
            exits,
            falls,
            depth,
            holds: 0,
        });
        list(&step.inner, depth + 1, !matches!(step.detail, Detail::AnyOrder), rows);
        let holds = rows.len() - own - 1;
        if let (Detail::Repeat { .. }, Some(first), Some(end)) =
            (&step.detail, step.inner.first(), rows.last_mut().filter(|_| holds > 0))
        {
            let again = Exit { when: Some("again".to_owned()), to: first.number.clone(), stops: false };
            end.exits.push(again);
            end.exits.extend(step.routes.iter().map(|way| exit(when(step, way), way)));
            end.falls = !then;
        }
        if let Some(row) = rows.get_mut(own) {
            row.holds = holds;
        }
    }
}

fn exit(when: Option<String>, way: &Route) -> Exit {
    let to = match (&way.step, way.stops) {
        (Some(number), _) => number.clone(),
        (None, true) => "stop".to_owned(),
        (None, false) => "done".to_owned(),
    };
    Exit { when, to, stops: way.stops }
}

fn is_then(way: &Route) -> bool {
    way.when == "Then"
}

/// The case in a word or two: the card has the sentence.
fn when(step: &StepBox, way: &Route) -> Option<String> {
    if is_then(way) {
        return None;
    }
    Some(match &step.detail {
        Detail::Measure { .. } => "outside".to_owned(),
        Detail::Wait { .. } => "at the limit".to_owned(),
        Detail::Repeat { rounds, .. } => format!("after {rounds}"),
        Detail::Act
        | Detail::Confirm { .. }
        | Detail::Ask { .. }
        | Detail::Hold { .. }
        | Detail::Fasten { .. }
        | Detail::AnyOrder
        | Detail::Perform => "if not".to_owned(),
    })
}

fn shape(step: &StepBox) -> Shape {
    match &step.detail {
        Detail::Act | Detail::Fasten { .. } => Shape::Act,
        Detail::Confirm { .. } | Detail::Measure { .. } | Detail::Ask { .. } => Shape::Look,
        Detail::Wait { .. } => Shape::Wait,
        Detail::Hold { .. } => Shape::Hold,
        Detail::AnyOrder | Detail::Repeat { .. } | Detail::Perform => Shape::Block,
    }
}

/// Every way of the map.
pub(super) fn ways(rows: &[Row]) -> Vec<Way> {
    let mut ways = Vec::new();
    for (at, row) in rows.iter().enumerate() {
        let exits = row.exits.iter();
        ways.extend(exits.map(|exit| Way {
            from: row.number.clone(),
            when: exit.when.clone(),
            to: exit.to.clone(),
        }));
        // Items in any order: the block leads to each of them.
        let items = rows.iter().skip(at + 1).take(if row.falls { 0 } else { row.holds });
        ways.extend(items.filter(|item| item.depth == row.depth + 1).map(|item| Way {
            from: row.number.clone(),
            when: Some("in any order".to_owned()),
            to: item.number.clone(),
        }));
        if let Some(next) = rows.get(at + 1).filter(|_| row.falls) {
            ways.push(Way { from: row.number.clone(), when: None, to: next.number.clone() });
        }
    }
    ways
}
