//! Steps on plain paper.

use super::paper::Paper;
use super::pieces::{message, question, signal, value};
use crate::page::{Alert, Detail, PassRow, Route, StepBox, Warning};

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
    let Alert { warning, compact } = alert;
    if *compact {
        let Warning { word, symbol, hazard, consequence: _, avoid } = warning;
        return format!("{} {hazard} {avoid}", signal(*word, *symbol));
    }
    message(warning)
}

fn one(paper: &mut Paper, step: &StepBox, outside: &str) {
    // What stands before and after the box is laid out round it; a name and what is left are for records and lists.
    let StepBox {
        number,
        id: _,
        kind,
        only,
        warnings: _,
        note,
        needs,
        work,
        wear,
        takes,
        by,
        text,
        detail: own,
        leaves: _,
        expect,
        verified_by,
        routes,
        rounds: _,
        inner: _,
    } = step;
    let head = format!("{outside}{number:>4} [ ] ");
    let indent = " ".repeat(head.chars().count());
    // What stands before the act stands above its tick box.
    if let Some(only) = only {
        paper.line(&indent, only);
    }
    if let Some(note) = note {
        paper.line(&indent, &format!("Note: {}", note.text()));
    }
    if let Some(by) = by {
        paper.line(&indent, &format!("By: {by}"));
    }
    for (name, list) in [("Needs: ", needs), ("Wear: ", wear), ("Take: ", takes)] {
        if !list.is_empty() {
            paper.line(&indent, &format!("{name}{}", list.join("; ")));
        }
    }
    if let Some(work) = work {
        paper.line(&indent, &format!("Work: {work}"));
    }
    let kind = kind.map(|kind| format!("{kind}: ")).unwrap_or_default();
    paper.line(&head, &format!("{kind}{}", text.text()));
    detail(paper, step, &indent);
    if let Some(expect) = expect {
        paper.line(&indent, &format!("Result: {}", expect.text()));
    }
    if !matches!(own, Detail::Repeat { .. }) {
        ways(paper, routes, &indent);
    }
    if let Some(role) = verified_by {
        paper.line(&indent, &format!("Verified by the {role}, not the one who did it:"));
        paper.line(&indent, &format!("name {BLANK} signature {BLANK} time {TIME_BLANK}"));
    }
}

fn ways(paper: &mut Paper, routes: &[Route], indent: &str) {
    for Route { when, to, step: _, stops: _ } in routes {
        paper.line(indent, &format!("{when} {to}."));
    }
}

/// What ends a repeat stands where it is needed, after its last step.
fn closing(paper: &mut Paper, step: &StepBox, outside: &str) {
    let (Detail::Repeat { until, rounds: _ }, Some(first)) = (&step.detail, step.inner.first()) else {
        return;
    };
    let indent = format!("{outside}         ");
    paper.gap();
    let again = format!(
        "End of round: it is so with the answer shown. With another, begin at step {} again.",
        first.number
    );
    paper.line(&indent, &again);
    until.iter().for_each(|one| question(paper, &indent, one));
    ways(paper, &step.routes, &indent);
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
            for Route { when, to, step: _, stops: _ } in answers {
                paper.line(&format!("{indent}[ ] "), &format!("{when}  -> {to}"));
            }
        }
        Detail::Hold { role } => {
            paper.line(indent, "Work stops here until this is released.");
            paper.line(indent, &format!("Released by the {role}:"));
            paper.line(indent, &format!("name {BLANK} signature {BLANK} time {TIME_BLANK}"));
        }
        // The order says what the drawing shows.
        Detail::Fasten { passes, numbering, diagram: _, note } => {
            paper.line(indent, &format!("Fasteners in order ({numbering}):"));
            for PassRow { label, order } in passes {
                if !label.is_empty() {
                    paper.line(indent, &format!("{label}:"));
                }
                let order: Vec<String> = order.iter().map(|number| format!("[ ] {number}")).collect();
                paper.line(indent, &order.join("  "));
            }
            if let Some(note) = note {
                paper.line(indent, note);
            }
        }
        // What ends it stands after its steps.
        Detail::Repeat { rounds, until: _ } => {
            let boxes: Vec<String> = (1..=*rounds).map(|round| format!("[ ] {round}")).collect();
            paper.line(indent, &format!("Rounds: {}", boxes.join("  ")));
        }
    }
}
