//! What is done if something goes wrong, as Markdown.

use super::pieces::question;
use super::prose::prose;
use super::{Sheet, escape};
use crate::page::{PlanLine, PlanLineKind, Stop, StopRow};
use crate::prose::Prose;

pub(super) fn trouble(sheet: &mut Sheet, emergency: Option<&Prose>, stop: Option<&Stop>) {
    if emergency.is_some() || stop.is_some() {
        sheet.heading("If something goes wrong");
    }
    if let Some(emergency) = emergency {
        sheet.block(&prose(emergency));
    }
    let Some(all @ Stop { how, rows, looks, unseen, whole, cannot }) = stop else { return };
    if let Some(how) = how {
        sheet.block(&format!("**If work stops, do this first.** {}", escape(how)));
    }
    for StopRow { at, lines: todo, is_known: _ } in rows {
        sheet.block(&format!("**{}:**", escape(at)));
        lines(sheet, todo);
    }
    sheet.block(&escape(all.looks_head()));
    sheet.list(looks.iter().map(question));
    if !unseen.is_empty() {
        sheet.block(&format!("By record, and not to be looked at: {}.", escape(&unseen.join("; "))));
    }
    if let Some(whole) = whole {
        sheet.block("**The plan for the whole machine, whatever you find:**");
        lines(sheet, whole);
    }
    sheet.block(&format!("**Where the machine cannot be brought to rest:** {}", escape(cannot)));
}

/// A list in a list for what stands under an answer.
fn lines(sheet: &mut Sheet, lines: &[PlanLine]) {
    let line = |PlanLine { depth, kind, text }: &PlanLine| {
        let tick = match kind {
            PlanLineKind::Tick => "[ ] ",
            PlanLineKind::If | PlanLineKind::Warning | PlanLineKind::Aside | PlanLineKind::End => "",
        };
        format!("{}- {tick}{}", "  ".repeat(*depth), escape(text))
    };
    sheet.block(&lines.iter().map(line).collect::<Vec<_>>().join("\n"));
}
