//! Findings in the Static Analysis Results Interchange Format, SARIF 2.1.0 (OASIS Standard, 27 March 2020).

use super::more_places;
use document::{Diagnostic, Place, Severity, Source};
use serde_json::{Value, json};

/// What is said at a further place of the same cause.
const ALSO: &str = "the same cause shows here too";

/// A rule as the log describes it.
#[derive(Clone, Copy, Debug)]
pub struct RuleText<'a> {
    /// Its code.
    pub code: &'a str,
    /// Its title.
    pub title: &'a str,
    /// Its whole explanation, in Markdown.
    pub text: &'a str,
}

/// A change of a document that mends a finding.
#[derive(Clone, Debug)]
pub struct Fix<'a> {
    /// What it comes to.
    pub description: &'a str,
    /// The document's name.
    pub file: &'a str,
    /// What changes in it, from its beginning on.
    pub replacements: &'a [Replacement],
}

/// Whole lines in the place of others.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct Replacement {
    /// The first line that goes, from 1; the text comes before it where none goes.
    pub line: usize,
    /// How many lines go.
    pub lines: usize,
    /// The lines that take their place, each with its end.
    pub text: String,
}

/// What a log says besides its findings.
pub struct Log<'a> {
    /// The rules, as the log describes them.
    pub rules: &'a [RuleText<'a>],
    /// The version of the program.
    pub version: &'a str,
    /// What is assumed of what was proved.
    pub assumed: &'a str,
    /// The mends of a finding.
    pub fixes: &'a dyn Fn(&Diagnostic) -> Vec<Fix<'a>>,
}

/// The findings as one SARIF log with one run. Lines and columns count from 1, columns in Unicode code points.
#[must_use]
pub fn sarif(sources: &[Source], findings: &[Diagnostic], log: &Log<'_>) -> String {
    let Log { rules, version, assumed, fixes } = log;
    let described: Vec<Value> = rules
        .iter()
        .map(|rule| {
            json!({
                "id": rule.code,
                "shortDescription": { "text": rule.title },
                "help": { "text": rule.text, "markdown": rule.text },
            })
        })
        .collect();
    let results: Vec<Value> =
        findings.iter().map(|finding| result(sources, finding, rules, &fixes(finding))).collect();
    let log = json!({
        "$schema": "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json",
        "version": "2.1.0",
        "runs": [{
            "tool": { "driver": { "name": "Gatewright", "version": version, "rules": described } },
            "columnKind": "unicodeCodePoints",
            "properties": { "assumed": assumed },
            "results": results,
        }],
    });
    format!("{log:#}\n")
}

fn result(sources: &[Source], finding: &Diagnostic, rules: &[RuleText<'_>], fixes: &[Fix<'_>]) -> Value {
    let mut message = finding.message.clone();
    if !finding.also.is_empty() {
        message = format!("{message} (and {})", more_places(finding.also.len()));
    }
    if let Some(help) = &finding.help {
        message = format!("{message}\n{help}");
    }
    let mut result = json!({
        "ruleId": finding.code,
        "level": match finding.severity {
            Severity::Error => "error",
            Severity::Warning => "warning",
            Severity::Advice => "note",
        },
        "message": { "text": message },
        "locations": [location(sources, finding.place)],
    });
    if let Some(index) = rules.iter().position(|rule| rule.code == finding.code) {
        result["ruleIndex"] = json!(index);
    }
    let notes = finding.notes.iter().map(|(place, remark)| (*place, remark.as_str()));
    let also = finding.also.iter().map(|place| (*place, ALSO));
    let related: Vec<Value> = notes
        .chain(also)
        .map(|(place, remark)| {
            let mut related = location(sources, place);
            related["message"] = json!({ "text": remark });
            related
        })
        .collect();
    if !related.is_empty() {
        result["relatedLocations"] = json!(related);
    }
    if !finding.trace.is_empty() {
        let moves: Vec<Value> =
            finding.trace.iter().map(|told| json!({ "location": { "message": { "text": told } } })).collect();
        result["codeFlows"] = json!([{ "threadFlows": [{ "locations": moves }] }]);
    }
    if !fixes.is_empty() {
        result["fixes"] = fixes.iter().map(fix).collect();
    }
    result
}

fn fix(fix: &Fix<'_>) -> Value {
    let replacement = |one: &Replacement| {
        json!({
            "deletedRegion": {
                "startLine": one.line,
                "startColumn": 1,
                "endLine": one.line + one.lines,
                "endColumn": 1,
            },
            "insertedContent": { "text": one.text },
        })
    };
    let replacements: Vec<Value> = fix.replacements.iter().map(replacement).collect();
    json!({
        "description": { "text": fix.description },
        "artifactChanges": [{
            "artifactLocation": { "uri": uri(fix.file) },
            "replacements": replacements,
        }],
    })
}

fn location(sources: &[Source], place: Place) -> Value {
    let Some(source) = sources.get(place.source.0 as usize) else { return json!({}) };
    let (start, end) =
        (source.position(place.span.start), source.position(place.span.end.max(place.span.start)));
    json!({
        "physicalLocation": {
            "artifactLocation": { "uri": uri(&source.name) },
            "region": {
                "startLine": start.line,
                "startColumn": start.column,
                "endLine": end.line,
                "endColumn": end.column,
            },
        },
    })
}

/// A path as a URI reference (RFC 3986): everything but unreserved characters and the slash is percent-encoded.
fn uri(path: &str) -> String {
    path.bytes()
        .map(|byte| match byte {
            b'A'..=b'Z' | b'a'..=b'z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'~' | b'/' => {
                char::from(byte).to_string()
            }
            _ => format!("%{byte:02X}"),
        })
        .collect()
}
