//! Whole documents: each fault once with its exact place, hostile bytes, and the schema against the reader.

mod agreement;
mod amounts;
mod figures;
mod hostile;
mod library;
mod names;
mod reading;
mod seeing;
mod templates;
mod tightening;

use crate::{Diagnostic, InputFile, Reading, read};

/// Equipment without faults, in which every kind of declaration occurs.
pub(crate) const EQUIPMENT: &str = include_str!("tests/equipment.yaml");

/// A procedure without faults, in which every kind of step occurs.
pub(crate) const PROCEDURE: &str = include_str!("tests/procedure.yaml");

/// Reads texts as documents, named in turn `a.yaml`, `b.yaml` and so on.
fn read_texts(texts: &[&str]) -> Reading {
    let files: Vec<InputFile> = texts
        .iter()
        .zip("abcdefgh".chars())
        .map(|(text, name)| InputFile { name: format!("{name}.yaml"), bytes: text.as_bytes().to_vec() })
        .collect();
    read(&files)
}

/// Replaces the one occurrence of a text.
fn swap(document: &str, from: &str, to: &str) -> String {
    assert_eq!(document.matches(from).count(), 1, "`{from}` should occur once in the sample");
    document.replacen(from, to, 1)
}

/// Takes the marks `«` and `»` out of a text and gives the stretches they stood round.
fn marked(text: &str) -> (String, Vec<(usize, usize)>) {
    let (mut plain, mut open, mut spans) = (String::new(), Vec::new(), Vec::new());
    for char in text.chars() {
        match char {
            '«' => open.push(plain.len()),
            '»' => spans.push((open.pop().expect("a mark was opened"), plain.len())),
            other => plain.push(other),
        }
    }
    assert!(open.is_empty(), "a mark is not closed in {text}");
    (plain, spans)
}

/// A finding as one line.
fn line(reading: &Reading, finding: &Diagnostic) -> String {
    let source = &reading.library.sources[finding.place.source.0 as usize];
    let at = source.position(finding.place.span.start);
    format!("{} {}:{}:{} {}", finding.code, source.name, at.line, at.column, finding.message)
}

/// All findings, a line each.
fn lines(reading: &Reading) -> Vec<String> {
    reading.findings.iter().map(|finding| line(reading, finding)).collect()
}

/// Checks that the documents have exactly these faults, `(code, part of the message and help)`, at the marked places
/// of the last document, in their order.
#[track_caller]
fn expect(texts: &[&str], faults: &[(&str, &str)]) {
    let (plain, spans) = marked(texts.last().expect("there is a document"));
    let mut all: Vec<&str> = texts.to_vec();
    *all.last_mut().expect("there is a document") = &plain;
    let reading = read_texts(&all);
    let found = lines(&reading);
    assert_eq!(reading.findings.len(), faults.len(), "{found:#?}");
    let mut spans = spans;
    spans.sort_unstable();
    for ((finding, (code, words)), (start, end)) in reading.findings.iter().zip(faults).zip(&spans) {
        assert_eq!(finding.code, *code, "{found:#?}");
        let told = format!("{} | {}", finding.message, finding.help.as_deref().unwrap_or_default());
        assert!(told.contains(words), "`{words}` is not in: {told}");
        assert_eq!(finding.place.source.0 as usize, all.len() - 1, "{told}");
        let span = finding.place.span;
        assert_eq!((span.start, span.end), (*start, *end), "at `{}`: {told}", &plain[span.start..span.end]);
    }
    assert_eq!(spans.len(), faults.len(), "as many marks as faults: {found:#?}");
}

#[test]
fn the_samples_have_no_faults() {
    assert_eq!(lines(&read_texts(&[EQUIPMENT, PROCEDURE])), Vec::<String>::new());
}
