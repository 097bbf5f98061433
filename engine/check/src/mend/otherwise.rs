//! Looks that do not say where to go when they fail.

use super::changes::ways_of_no;
use crate::lines::{indent, item};
use document::model::{Name, Step};
use document::{InputFile, Severity};

/// The documents with a way for every look of one of them that has none, if that is all that is wrong with how it is written:
/// to where the look nearest to it leads, or to the stop.
pub(super) fn with_ways_of_no(
    files: Vec<(String, String)>,
    at: usize,
    procedure: &Name,
) -> Vec<(String, String)> {
    let input =
        |(name, text): &(String, String)| InputFile { name: name.clone(), bytes: text.clone().into() };
    let reading = document::read(&files.iter().map(input).collect::<Vec<_>>());
    let errors = reading.findings.iter().filter(|finding| finding.severity == Severity::Error);
    let Some(document) = reading.library.procedures.get(procedure) else { return files };
    let (mut any, mut all) = (false, true);
    for error in errors {
        any = true;
        all &= error.code == "N11" && error.place.source == document.source;
    }
    if !any || !all {
        return files;
    }
    let mut missing = Vec::new();
    collect("/steps", &document.model.steps, &mut missing);
    let mut files = files;
    let text = &mut files[at].1;
    // From the back, so that no place moves.
    for (pointer, target) in missing.iter().rev() {
        let first = document.place(&format!("{pointer}/id")).span.start;
        let Some(lines) = item(text, first) else { continue };
        let old = &text[lines.clone()];
        let line = old.lines().find(|line| line.trim_start().starts_with("- ")).unwrap_or_default();
        if line.trim_start().starts_with("- {") {
            let Some(end) = old.rfind('}') else { continue };
            text.insert_str(lines.start + end, &format!(", otherwise: {target} "));
        } else {
            let margin = " ".repeat(indent(line) + 2);
            let gap = if old.ends_with('\n') { "" } else { "\n" };
            text.insert_str(lines.end, &format!("{gap}{margin}otherwise: {target}\n"));
        }
    }
    files
}

/// The looks without a way of no, in written order, each with where it may lead.
fn collect(list: &str, steps: &[Step], missing: &mut Vec<(String, String)>) {
    for (index, step) in steps.iter().enumerate() {
        let pointer = format!("{list}/{index}");
        if step.common.otherwise.is_none() && step.kind.failure().is_some() {
            let target = ways_of_no(steps, index).first().map_or("stop", |target| *target);
            missing.push((pointer.clone(), target.to_owned()));
        }
        if let Some((segment, inner)) = step.inner() {
            collect(&format!("{pointer}{segment}"), inner, missing);
        }
    }
}
