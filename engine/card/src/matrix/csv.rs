//! The matrix as comma-separated values (RFC 4180), a line for each control of each step.

use super::model::Matrix;
use crate::csv::line;

const HEAD: [&str; 11] = [
    "procedure",
    "revision",
    "signal word",
    "hazard",
    "message",
    "step",
    "title",
    "exposed by",
    "kind of control",
    "control",
    "gap",
];

/// Lays matrices out, one after another under one head.
#[must_use]
pub fn csv(matrices: &[Matrix]) -> String {
    let mut text = line(&HEAD.map(str::to_owned));
    for matrix in matrices {
        for hazard in &matrix.hazards {
            let about = [
                matrix.id.clone(),
                matrix.revision.to_string(),
                hazard.word.word().to_owned(),
                hazard.name.clone(),
                hazard.message.clone(),
            ];
            let mut row = |rest: [String; 6]| {
                let fields: Vec<String> = about.iter().cloned().chain(rest).collect();
                text.push_str(&line(&fields));
            };
            for rule in &hazard.rules {
                let gap = if rule.verdict.is_against() { "a rule does not hold" } else { "" };
                let words = format!("{}: {}", rule.name, rule.words());
                row(["all", "", "", "rule", &words, gap].map(str::to_owned));
            }
            for exposure in &hazard.exposures {
                let by = exposure.by.join("; ");
                let gap = exposure.gap.clone().unwrap_or_default();
                if exposure.controls.is_empty() {
                    row([
                        exposure.step.clone(),
                        exposure.title.clone(),
                        by.clone(),
                        String::new(),
                        String::new(),
                        gap.clone(),
                    ]);
                }
                for control in &exposure.controls {
                    let kind = control.kind.words().to_owned();
                    row([
                        exposure.step.clone(),
                        exposure.title.clone(),
                        by.clone(),
                        kind,
                        control.text.clone(),
                        gap.clone(),
                    ]);
                }
            }
        }
    }
    text
}
