//! Steps on plain paper.

use super::paper::Paper;
use super::pieces::{message, question, signal, value};
use crate::page::{Alert, Detail, StepBox};

/// Blanks that a hand can fill in.
const BLANK: &str = "____________";
const TIME_BLANK: &str = "____:____";

pub(super) fn steps(paper: &mut Paper, steps: &[StepBox], depth: usize) {
    for step in steps {
        paper.gap();
        let outside = " ".repeat(depth * 4);
        for alert in &step.warnings {
            paper.line(&outside, &warned(alert));
        }
        one(paper, step, &outside);
        self::steps(paper, &step.inner, depth + 1);
        closing(paper, step, &outside);
    }
}

fn warned(alert: &Alert) -> String {
    let warning = &alert.warning;
    if alert.compact {
        return format!("{} {} {}", signal(warning), warning.hazard, warning.avoid);
    }
    message(warning)
}

fn one(paper: &mut Paper, step: &StepBox, outside: &str) {
    let head = format!("{outside}{:>4} [ ] ", step.number);
    let indent = " ".repeat(head.chars().count());
    // What stands before the act stands above its tick box.
    if let Some(only) = &step.only {
        paper.line(&indent, only);
    }
    if let Some(note) = &step.note {
        paper.line(&indent, &format!("Note: {}", note.text()));
    }
    if let Some(by) = &step.by {
        paper.line(&indent, &format!("By: {by}"));
    }
    for (name, list) in [("Needs: ", &step.needs), ("Wear: ", &step.wear), ("Take: ", &step.takes)] {
        if !list.is_empty() {
            paper.line(&indent, &format!("{name}{}", list.join("; ")));
        }
    }
    if let Some(work) = &step.work {
        paper.line(&indent, &format!("Work: {work}"));
    }
    let kind = step.kind.map(|kind| format!("{kind}: ")).unwrap_or_default();
    paper.line(&head, &format!("{kind}{}", step.text.text()));
    detail(paper, step, &indent);
    if let Some(expect) = &step.expect {
        paper.line(&indent, &format!("Result: {}", expect.text()));
    }
    if !matches!(step.detail, Detail::Repeat { .. }) {
        ways(paper, step, &indent);
    }
    if let Some(role) = &step.verified_by {
        paper.line(&indent, &format!("Verified by the {role}, not the one who did it:"));
        paper.line(&indent, &format!("name {BLANK} signature {BLANK} time {TIME_BLANK}"));
    }
}

fn ways(paper: &mut Paper, step: &StepBox, indent: &str) {
    for way in &step.routes {
        paper.line(indent, &format!("{} {}.", way.when, way.to));
    }
}

/// What ends a repeat stands where it is needed, after its last step.
fn closing(paper: &mut Paper, step: &StepBox, outside: &str) {
    let (Detail::Repeat { until, .. }, Some(first)) = (&step.detail, step.inner.first()) else { return };
    let indent = format!("{outside}         ");
    paper.gap();
    let again = format!(
        "End of round: it is so with the answer shown. With another, begin at step {} again.",
        first.number
    );
    paper.line(&indent, &again);
    until.iter().for_each(|one| question(paper, &indent, one));
    ways(paper, step, &indent);
}

fn rounds(step: &StepBox) -> std::ops::RangeInclusive<u32> {
    1..=step.rounds
}

fn of_round(step: &StepBox, round: u32) -> String {
    if step.rounds > 1 { format!("Round {round}: ") } else { String::new() }
}

fn detail(paper: &mut Paper, step: &StepBox, indent: &str) {
    match &step.detail {
        Detail::Act | Detail::AnyOrder | Detail::Perform => {}
        Detail::Confirm { questions } => questions.iter().for_each(|one| question(paper, indent, one)),
        Detail::Measure { instrument, unit, range, uncertainty, readings } => {
            value(paper, indent, "Range: ", range);
            for (round, reading) in
                rounds(step).flat_map(|round| (0..*readings).map(move |reading| (round, reading)))
            {
                let name = if reading == 0 { "Reading".to_owned() } else { format!("Retest {reading}") };
                paper.line(indent, &format!("{}{name} {BLANK} {unit}", of_round(step, round)));
            }
            paper.line(indent, &format!("{instrument}. {}", uncertainty.as_deref().unwrap_or_default()));
        }
        Detail::Wait { time, until, limit } => {
            if let Some(time) = time {
                // One time for all stands in the sentence already.
                if time.table.is_some() {
                    value(paper, indent, "", time);
                }
                for round in rounds(step) {
                    paper.line(
                        indent,
                        &format!("{}Start {TIME_BLANK}  Due {TIME_BLANK}", of_round(step, round)),
                    );
                }
            }
            until.iter().for_each(|one| question(paper, indent, one));
            if let Some(limit) = limit {
                value(paper, indent, "Limit: ", limit);
                for round in rounds(step) {
                    let round = of_round(step, round);
                    paper.line(indent, &format!("{round}Start {TIME_BLANK}  Limit reached at {TIME_BLANK}"));
                }
            }
        }
        Detail::Ask { answers } => {
            for way in answers {
                paper.line(&format!("{indent}[ ] "), &format!("{}  -> {}", way.when, way.to));
            }
        }
        Detail::Hold { role } => {
            paper.line(indent, "Work stops here until this is released.");
            paper.line(indent, &format!("Released by the {role}:"));
            paper.line(indent, &format!("name {BLANK} signature {BLANK} time {TIME_BLANK}"));
        }
        Detail::Fasten { passes, numbering, note, .. } => {
            paper.line(indent, &format!("Fasteners in order ({numbering}):"));
            for pass in passes {
                if !pass.label.is_empty() {
                    paper.line(indent, &format!("{}:", pass.label));
                }
                let order: Vec<String> = pass.order.iter().map(|number| format!("[ ] {number}")).collect();
                paper.line(indent, &order.join("  "));
            }
            if let Some(note) = note {
                paper.line(indent, note);
            }
        }
        Detail::Repeat { rounds, .. } => {
            let boxes: Vec<String> = (1..=*rounds).map(|round| format!("[ ] {round}")).collect();
            paper.line(indent, &format!("Rounds: {}", boxes.join("  ")));
        }
    }
}
