//! What stands at the end of a line.

use super::model::{Item, Warned};
use crate::page::{Detail, Question, Route, StepBox, Value};

/// The lines of a step: one, or one for each question that it asks.
pub(super) fn items(step: &StepBox) -> Vec<Item> {
    let whole = item(step);
    let questions = match &step.detail {
        Detail::Confirm { questions } => questions,
        Detail::Wait { time: _, until, limit: _ } if !until.is_empty() => return waited(step, whole, until),
        Detail::Act
        | Detail::Measure { .. }
        | Detail::Wait { .. }
        | Detail::Ask { .. }
        | Detail::Hold { .. }
        | Detail::Fasten { .. }
        | Detail::AnyOrder
        | Detail::Repeat { .. }
        | Detail::Perform => return vec![whole],
    };
    let last = questions.len().saturating_sub(1);
    let line = |(at, one): (usize, &Question)| {
        let first = at == 0;
        Item {
            number: if first { whole.number.clone() } else { String::new() },
            challenge: one.ask.clone(),
            response: one.answer.to_owned()
                + &step.routes.iter().map(|way| format!("; if not → {}", short(way))).collect::<String>()
                + &if at == last { verified(step) } else { String::new() },
            warning: if first { whole.warning.clone() } else { None },
            pauses: at == last,
        }
    };
    questions.iter().enumerate().map(line).collect()
}

/// A wait for something: its time and limit, then what has to be so, each with its answer and the way without it.
fn waited(step: &StepBox, mut whole: Item, until: &[Question]) -> Vec<Item> {
    whole.pauses = false;
    let mut lines = vec![whole];
    for asked in until {
        let Item { number, challenge, response, warning, pauses } = question(asked);
        lines.push(Item { number, challenge, response: ways(step, response), warning, pauses });
    }
    if let Some(last) = lines.last_mut() {
        last.response.push_str(&verified(step));
        last.pauses = true;
    }
    lines
}

fn item(step: &StepBox) -> Item {
    let (kind, pauses) = match &step.detail {
        Detail::Hold { .. } => ("HOLD: ", true),
        Detail::Wait { .. } | Detail::Confirm { .. } | Detail::Ask { .. } | Detail::Measure { .. } => {
            ("", true)
        }
        Detail::Act | Detail::Fasten { .. } | Detail::AnyOrder | Detail::Repeat { .. } | Detail::Perform => {
            ("", false)
        }
    };
    let warning = step.warnings.first().map(|alert| {
        let warning = &alert.warning;
        Warned { word: warning.word, symbol: warning.symbol, hazard: warning.hazard.clone() }
    });
    Item {
        number: step.number.clone(),
        challenge: format!("{kind}{}", step.text.text().split_whitespace().collect::<Vec<_>>().join(" ")),
        response: response(step),
        warning,
        pauses: pauses || step.verified_by.is_some(),
    }
}

fn response(step: &StepBox) -> String {
    let wanted = match &step.detail {
        Detail::Measure { range, .. } => format!("{} ____", one(range, "range on the card")),
        Detail::Wait { time, until, limit } => {
            let time = time.iter().map(|time| one(time, "time on the card"));
            let limit = limit.iter().map(|limit| format!("limit {}", one(limit, "on the card")));
            let wanted: Vec<String> = time.chain(limit).collect();
            let wanted = if wanted.is_empty() { "until it is so".to_owned() } else { wanted.join("; ") };
            if !until.is_empty() {
                // What has to be so stands in lines of its own, with the ways from there and who verifies it.
                return wanted;
            }
            wanted
        }
        Detail::Ask { answers } => {
            let answers: Vec<String> =
                answers.iter().map(|way| format!("{} → {}", way.when, short(way))).collect();
            answers.join(" / ")
        }
        Detail::Hold { role } => format!("released by {role} ____"),
        Detail::Fasten { passes, diagram, .. } => match passes.len() {
            1 => format!("all {}", diagram.dots.len()),
            passes => format!("all {}, in {passes} passes", diagram.dots.len()),
        },
        Detail::AnyOrder => "all, in any order".to_owned(),
        Detail::Repeat { rounds, .. } => format!("at most {rounds} rounds"),
        Detail::Perform => "its card complete".to_owned(),
        Detail::Act | Detail::Confirm { .. } => match &step.leaves[..] {
            [] => "done".to_owned(),
            leaves => leaves.join("; "),
        },
    };
    ways(step, wanted) + &verified(step)
}

/// What is wanted, and where to go without it.
fn ways(step: &StepBox, mut response: String) -> String {
    for way in &step.routes {
        let when = way.when.trim_end_matches(',').to_lowercase();
        response.push_str(&format!("; {when} → {}", short(way)));
    }
    response
}

fn verified(step: &StepBox) -> String {
    step.verified_by.as_ref().map(|role| format!("; verified by {role} ____")).unwrap_or_default()
}

fn short(way: &Route) -> String {
    match (&way.step, way.stops) {
        (Some(number), _) => number.clone(),
        (None, true) => "stop".to_owned(),
        (None, false) => "restoration".to_owned(),
    }
}

fn one(value: &Value, else_words: &str) -> String {
    value.one.clone().unwrap_or_else(|| else_words.to_owned())
}

pub(super) fn question(one: &Question) -> Item {
    let challenge = if one.choices.is_empty() {
        one.ask.clone()
    } else {
        format!("{} {}", one.ask, one.choices.join(" "))
    };
    Item { number: String::new(), challenge, response: one.answer.to_owned(), warning: None, pauses: false }
}

/// A question that is asked of the record.
pub(super) fn of_record(one: &Question) -> Item {
    let Item { number, challenge, response, warning, pauses } = question(one);
    Item { number, challenge: format!("By record: {challenge}"), response, warning, pauses }
}

/// What a procedure requires that nobody can see: a card in hand begins nothing then.
pub(super) fn not_by_hand(part: &str) -> Item {
    let challenge = format!("Performed by another procedure, which makes sure of {part}");
    Item { number: String::new(), challenge, response: "yes".to_owned(), warning: None, pauses: false }
}
