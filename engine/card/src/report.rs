//! Findings laid out for people and for programs.

mod json;
mod sarif;
mod text;

pub use json::json;
pub use sarif::{Fix, Log, Replacement, RuleText, sarif};
pub use text::{Style, text};

use crate::count;
use document::{Diagnostic, Severity};

/// How many findings of each severity, worst first: "2 errors, 1 warning"; "no findings" for none.
#[must_use]
pub fn summary(findings: &[Diagnostic]) -> String {
    let counted = [Severity::Error, Severity::Warning, Severity::Advice].into_iter().filter_map(|severity| {
        let number = findings.iter().filter(|finding| finding.severity == severity).count();
        match severity {
            _ if number == 0 => None,
            Severity::Advice if number > 1 => Some(format!("{number} pieces of advice")),
            Severity::Advice => Some("1 piece of advice".to_owned()),
            Severity::Error | Severity::Warning => Some(count(number, severity.word())),
        }
    });
    let parts: Vec<String> = counted.collect();
    if parts.is_empty() { "no findings".to_owned() } else { parts.join(", ") }
}

/// "18 more places".
fn more_places(places: usize) -> String {
    count(places, "more place")
}

#[cfg(test)]
mod tests;
