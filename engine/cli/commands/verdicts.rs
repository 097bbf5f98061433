//! The verdict of each procedure, in a line, below the findings.

use crate::output;
use check::{Checked, Report, Second};
use document::Diagnostic;
use proof::Limit;
use std::fmt::Write as _;
use std::time::Duration;

pub(super) fn text(report: &Report, findings: &[Diagnostic], times: &[Duration]) -> String {
    let style = card::report::Style { colour: output::colour(), width: output::WIDTH };
    let mut text = card::report::text(&report.library.sources, findings, style);
    let names = report.procedures.iter().map(|checked| &*checked.procedure);
    let width = names.chain(report.library.left_out()).map(str::len).max().unwrap_or(0);
    for (checked, time) in report.procedures.iter().zip(times) {
        let _ = writeln!(text, "{:width$}  {}", checked.procedure.0, verdict(checked, *time));
    }
    for name in report.library.left_out() {
        let _ = writeln!(text, "{name:width$}  {}", verdict_of_faulty());
    }
    for accepted in report.accepted() {
        let finding = &accepted.finding;
        let source = &report.library.sources[finding.place.source.0 as usize];
        let line = source.position(finding.place.span.start).line;
        let _ = writeln!(text, "accepted {} {}:{line}  {}", finding.code, source.name, accepted.reason);
    }
    if report.procedures.iter().any(|checked| checked.proof.is_some()) {
        let _ = writeln!(text, "assumed: {}", check::ASSUMED);
    }
    let _ = writeln!(
        text,
        "{} and {} read; {}",
        card::count(report.procedures.len() + report.library.left_out().count(), "procedure"),
        card::count(report.library.equipment.len(), "equipment document"),
        found(findings, report.accepted().len())
    );
    text
}

/// What was found, and how much of it authors accept at its place.
fn found(findings: &[Diagnostic], accepted: usize) -> String {
    let found =
        if findings.is_empty() { "nothing found".to_owned() } else { card::report::summary(findings) };
    if accepted == 0 {
        found
    } else {
        format!("{found}, {} accepted with a reason", card::count(accepted, "finding"))
    }
}

fn verdict_of_faulty() -> String {
    "not proved: its documents have errors".to_owned()
}

fn verdict(checked: &Checked, time: Duration) -> String {
    let Some(proof) = &checked.proof else {
        return verdict_of_faulty();
    };
    let states = format!("{} of states", card::count(proof.boxes, "set"));
    let millis = time.as_secs_f64() * 1000.0;
    if let Some(ended) = &proof.ended {
        let limit = match ended.limit {
            Limit::Sets | Limit::Work => "budget",
            Limit::Time => "time",
        };
        return format!("not proved: the {limit} ended after {states}, {millis:.1} ms");
    }
    let open = proof.refuted.len();
    let whole = card::count(proof.obligations, "obligation");
    if open > 0 {
        format!("refuted: {open} of {whole}, {states}, {millis:.1} ms")
    } else if checked.has_errors() {
        format!("not proved: errors in its graph; no run breaks any of {whole}, {states}, {millis:.1} ms")
    } else {
        let second = match checked.second {
            Second::Agrees => "checked by a second program",
            Second::NotAsked | Second::TooLarge => "too large for a second program",
        };
        format!("proved on every path, {second}: {whole}, {states}, {millis:.1} ms")
    }
}
