//! What is done if something goes wrong, on plain paper.

use super::paper::Paper;
use super::pieces::question;
use crate::page::{PlanLine, PlanLineKind, Stop, StopRow};
use crate::prose::Prose;

pub(super) fn trouble(paper: &mut Paper, emergency: Option<&Prose>, stop: Option<&Stop>) {
    if emergency.is_some() || stop.is_some() {
        paper.heading("If something goes wrong");
    }
    if let Some(emergency) = emergency {
        paper.line("", &emergency.text());
    }
    let Some(all @ Stop { how, rows, looks, unseen, whole, cannot }) = stop else { return };
    if let Some(how) = how {
        paper.gap();
        paper.line("", "If work stops, do this first:");
        paper.line("", how);
    }
    for StopRow { at, lines: todo, is_known: _ } in rows {
        paper.line("  ", &format!("{at}:"));
        lines(paper, 4, todo);
    }
    paper.gap();
    paper.line("", all.looks_head());
    for one in looks {
        question(paper, "  ", one);
    }
    if !unseen.is_empty() {
        paper.line("", &format!("By record, and not to be looked at: {}.", unseen.join("; ")));
    }
    if let Some(whole) = whole {
        paper.gap();
        paper.line("", "The plan for the whole machine, whatever you find:");
        lines(paper, 2, whole);
    }
    paper.gap();
    paper.line("", &format!("Where the machine cannot be brought to rest: {cannot}"));
}

fn lines(paper: &mut Paper, indent: usize, lines: &[PlanLine]) {
    for PlanLine { depth, kind, text } in lines {
        let tick = match kind {
            PlanLineKind::Tick => "[ ] ",
            PlanLineKind::If | PlanLineKind::Warning | PlanLineKind::Aside | PlanLineKind::End => "",
        };
        paper.line(&format!("{}{tick}", " ".repeat(indent + 4 * depth)), text);
    }
}
