//! Steps as Markdown: the number, warnings, what must be so, and only then the act with its box.

use super::escape::escape;
use super::pieces::{message, question, signal, value};
use super::prose::prose;
use super::sheet::Sheet;
use crate::page::{Alert, Detail, PassRow, Route, StepBox, Warning};

/// Blanks that a hand can fill in.
const BLANK: &str = "\\_\\_\\_\\_\\_\\_\\_\\_";
const TIME_BLANK: &str = "\\_\\_\\_:\\_\\_\\_";

pub(super) fn steps(sheet: &mut Sheet, steps: &[StepBox]) {
    for step in steps {
        sheet.block(&format!("### Step {}", step.number));
        for alert in &step.warnings {
            sheet.quote(&warned(alert));
        }
        one(sheet, step);
        self::steps(sheet, &step.inner);
        closing(sheet, step);
    }
}

fn warned(alert: &Alert) -> String {
    let Alert { warning, compact } = alert;
    if *compact {
        let Warning { word, symbol, hazard, consequence: _, avoid } = warning;
        return format!("**{}** {}", signal(*word, *symbol), escape(&format!("{hazard} {avoid}")));
    }
    message(warning)
}

fn one(sheet: &mut Sheet, step: &StepBox) {
    // What stands before and after the box is laid out round it; a name and what is left are for records and lists.
    let StepBox {
        number: _,
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
    if let Some(only) = only {
        sheet.block(&format!("**{}**", escape(only)));
    }
    if let Some(note) = note {
        sheet.block(&format!("*Note:* {}", prose(note)));
    }
    let mut lead: Vec<String> = Vec::new();
    lead.extend(by.iter().map(|by| format!("By: {}", escape(by))));
    for (name, list) in [("Needs", needs), ("Wear", wear), ("Take", takes)] {
        if !list.is_empty() {
            lead.push(format!("{name}: {}", escape(&list.join("; "))));
        }
    }
    lead.extend(work.iter().map(|work| format!("Work: {}", escape(work))));
    sheet.list(lead);
    let kind = kind.map(|kind| format!("*{kind}:* ")).unwrap_or_default();
    sheet.block(&format!("[ ] {kind}{}", prose(text)));
    detail(sheet, step);
    if let Some(expect) = expect {
        sheet.block(&format!("Result: {}", prose(expect)));
    }
    if !matches!(own, Detail::Repeat { .. }) {
        sheet.list(routes.iter().map(way));
    }
    if let Some(role) = verified_by {
        let role = escape(role);
        sheet.block(&format!(
            "Verified by the {role}, not the one who did it: name {BLANK} signature {BLANK} time {TIME_BLANK}"
        ));
    }
}

fn way(way: &Route) -> String {
    let Route { when, to, step: _, stops: _ } = way;
    format!("{} **{}**", escape(when), escape(to))
}

/// What ends a repeat stands where it is needed, after its last step.
fn closing(sheet: &mut Sheet, step: &StepBox) {
    let (Detail::Repeat { until, rounds: _ }, Some(first)) = (&step.detail, step.inner.first()) else {
        return;
    };
    sheet.block(&format!(
        "**End of a round of step {}:** it is so with the answer shown. With another, begin at step {} again.",
        step.number, first.number
    ));
    sheet.list(until.iter().map(question));
    sheet.list(step.routes.iter().map(way));
}

fn of_round(step: &StepBox, round: u32) -> String {
    if step.rounds > 1 { format!("Round {round}: ") } else { String::new() }
}

fn detail(sheet: &mut Sheet, step: &StepBox) {
    let rounds = || 1..=step.rounds;
    match &step.detail {
        Detail::Act | Detail::AnyOrder | Detail::Perform => {}
        Detail::Confirm { questions } => sheet.list(questions.iter().map(question)),
        Detail::Measure { instrument, unit, range, uncertainty, readings } => {
            value(sheet, "Range: ", range);
            let blanks = rounds().flat_map(|round| (0..*readings).map(move |reading| (round, reading)));
            sheet.list(blanks.map(|(round, reading)| {
                let name = if reading == 0 { "Reading".to_owned() } else { format!("Retest {reading}") };
                format!("{}{name} {BLANK} {}", of_round(step, round), escape(unit))
            }));
            let uncertainty = uncertainty.as_deref().unwrap_or_default();
            sheet.block(escape(&format!("{instrument}. {uncertainty}")).trim_end());
        }
        Detail::Wait { time, until, limit } => {
            if let Some(time) = time {
                if time.table.is_some() {
                    value(sheet, "", time);
                }
                sheet
                    .list(rounds().map(|round| {
                        format!("{}Start {TIME_BLANK} Due {TIME_BLANK}", of_round(step, round))
                    }));
            }
            sheet.list(until.iter().map(question));
            if let Some(limit) = limit {
                value(sheet, "Limit: ", limit);
                sheet.list(rounds().map(|round| {
                    format!("{}Start {TIME_BLANK} Limit reached at {TIME_BLANK}", of_round(step, round))
                }));
            }
        }
        Detail::Ask { answers } => sheet.list(answers.iter().map(|answer| format!("[ ] {}", way(answer)))),
        Detail::Hold { role } => {
            let role = escape(role);
            sheet.block(&format!(
                "**Work stops here until this is released.** Released by the {role}: name {BLANK} signature {BLANK} \
                 time {TIME_BLANK}"
            ));
        }
        // The order says what the drawing shows.
        Detail::Fasten { passes, numbering, diagram: _, note } => {
            sheet.block(&format!("Fasteners in order ({}):", escape(numbering)));
            for PassRow { label, order } in passes {
                if !label.is_empty() {
                    sheet.block(&format!("{}:", escape(label)));
                }
                sheet.list(order.iter().map(|number| format!("[ ] {number}")));
            }
            if let Some(note) = note {
                sheet.block(&escape(note));
            }
        }
        // What ends it stands after its steps.
        Detail::Repeat { rounds, until: _ } => {
            let boxes: Vec<String> = (1..=*rounds).map(|round| format!("[ ] {round}")).collect();
            sheet.block(&format!("Rounds: {}", boxes.join("  ")));
        }
    }
}
