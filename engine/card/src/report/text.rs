//! Findings for a terminal.

use super::more_places;
use crate::clean::{clean, clean_line};
use crate::wrap::hang;
use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};
use document::{Diagnostic, Place, Severity, Source};
use std::ops::Range;

/// How a report is laid out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Style {
    /// Whether colours are used. Nothing is told by colour alone.
    pub colour: bool,
    /// The width of the screen in columns.
    pub width: usize,
}

/// Lays findings out in the order given: code, severity and message, the place with its line underlined, other
/// places, the path that leads there as numbered lines, and what to do. A place in an unknown source is left out.
#[must_use]
pub fn text(sources: &[Source], findings: &[Diagnostic], style: Style) -> String {
    let renderer = if style.colour { Renderer::styled() } else { Renderer::plain() };
    let renderer = renderer.term_width(style.width).decor_style(DecorStyle::Ascii);
    let mut report = String::new();
    for finding in findings {
        report.push_str(renderer.render(&[group(sources, finding)]).trim_end());
        report.push('\n');
        for line in also(sources, finding, style.width).into_iter().chain(tail(finding, style.width)) {
            report.push_str(&line);
            report.push('\n');
        }
        report.push('\n');
    }
    report
}

fn group<'a>(sources: &'a [Source], finding: &'a Diagnostic) -> Group<'a> {
    let level = match finding.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
        Severity::Advice => Level::INFO,
    };
    let title =
        level.with_name(finding.severity.word()).primary_title(clean_line(&finding.message)).id(finding.code);
    let mut group = Group::with_title(title);
    // One snippet a document, the finding's own first.
    let mut order = vec![finding.place.source];
    for (place, _) in &finding.notes {
        if !order.contains(&place.source) {
            order.push(place.source);
        }
    }
    for id in order {
        let Some(source) = sources.get(id.0 as usize) else { continue };
        let mut snippet = Snippet::source(source.text.as_str()).path(clean_line(&source.name));
        if finding.place.source == id {
            snippet = snippet.annotation(AnnotationKind::Primary.span(range(source, finding.place)));
        }
        for (place, remark) in finding.notes.iter().filter(|(place, _)| place.source == id) {
            let note = AnnotationKind::Context.span(range(source, *place)).label(clean_line(remark));
            snippet = snippet.annotation(note);
        }
        group = group.element(snippet);
    }
    group
}

/// The span, held to the text and to whole characters.
fn range(source: &Source, place: Place) -> Range<usize> {
    let text = &source.text;
    let whole = |at: &usize| text.is_char_boundary(*at);
    let start = (0..=place.span.start.min(text.len())).rev().find(whole).unwrap_or_default();
    let end = (place.span.end.clamp(start, text.len().max(start))..=text.len()).find(whole).unwrap_or(start);
    start..end
}

/// Where else the same cause shows.
fn also(sources: &[Source], finding: &Diagnostic, width: usize) -> Vec<String> {
    if finding.also.is_empty() {
        return Vec::new();
    }
    let places = finding.also.iter().filter_map(|place| {
        let source = sources.get(place.source.0 as usize)?;
        let at = source.position(place.span.start);
        Some(format!("{}:{}:{}", clean_line(&source.name), at.line, at.column))
    });
    let places = places.collect::<Vec<_>>().join(", ");
    hang(&format!("  and at {}: ", more_places(finding.also.len())), &places, width)
}

fn tail(finding: &Diagnostic, width: usize) -> Vec<String> {
    let mut lines = Vec::new();
    if !finding.trace.is_empty() {
        lines.push("  the way there:".to_owned());
        let digits = finding.trace.len().to_string().len();
        for (number, entry) in (1..).zip(&finding.trace) {
            lines.extend(hang(&format!("    {number:digits$}. "), &clean_line(entry), width));
        }
    }
    if let Some(help) = &finding.help {
        // A mend to be pasted keeps its own lines and its own indentation.
        match help.split_once('\n') {
            None => lines.extend(hang("  help: ", &clean_line(help), width)),
            Some((first, rest)) => {
                lines.extend(hang("  help: ", &clean_line(first), width));
                lines.extend(clean(rest).lines().map(|line| format!("    {line}").trim_end().to_owned()));
            }
        }
    }
    lines
}
