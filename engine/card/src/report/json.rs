//! Findings for another program.

use document::{Diagnostic, Place, Source};
use serde::Serialize;

#[derive(Serialize)]
struct Finding<'a> {
    code: &'static str,
    severity: &'static str,
    message: &'a str,
    #[serde(flatten)]
    place: Spot<'a>,
    also: Vec<Spot<'a>>,
    notes: Vec<Note<'a>>,
    trace: &'a [String],
    help: Option<&'a str>,
}

#[derive(Serialize)]
struct Note<'a> {
    message: &'a str,
    #[serde(flatten)]
    place: Spot<'a>,
}

/// Lines and columns count from 1, columns in characters; the end is one past the last character.
#[derive(Serialize)]
struct Spot<'a> {
    file: &'a str,
    line: usize,
    column: usize,
    end_line: usize,
    end_column: usize,
}

/// The findings as a JSON array of objects with `code`, `severity`, `message`, `file`, `line`, `column`, `end_line`,
/// `end_column`, `also` (further places of the same cause), `notes`, `trace` and `help`, in this order. Lines and columns
/// count from 1, columns in characters.
#[must_use]
pub fn json(sources: &[Source], findings: &[Diagnostic]) -> String {
    let all: Vec<Finding> = findings
        .iter()
        .map(|finding| Finding {
            code: finding.code,
            severity: finding.severity.word(),
            message: &finding.message,
            place: spot(sources, finding.place),
            also: finding.also.iter().map(|place| spot(sources, *place)).collect(),
            notes: finding
                .notes
                .iter()
                .map(|(place, remark)| Note { message: remark, place: spot(sources, *place) })
                .collect(),
            trace: &finding.trace,
            help: finding.help.as_deref(),
        })
        .collect();
    // Plain texts and numbers under fixed names always have a form in JSON.
    let mut text = serde_json::to_string_pretty(&all).unwrap_or_default();
    text.push('\n');
    text
}

fn spot(sources: &[Source], place: Place) -> Spot<'_> {
    let Some(source) = sources.get(place.source.0 as usize) else {
        return Spot { file: "", line: 1, column: 1, end_line: 1, end_column: 1 };
    };
    let (start, end) =
        (source.position(place.span.start), source.position(place.span.end.max(place.span.start)));
    Spot {
        file: &source.name,
        line: start.line,
        column: start.column,
        end_line: end.line,
        end_column: end.column,
    }
}
