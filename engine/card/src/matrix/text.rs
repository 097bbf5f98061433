//! The matrix as plain text, 78 columns wide.

use super::model::{INTRODUCTION, Matrix};
use crate::count::count;
use crate::wrap::hang;

const WIDTH: usize = 78;

/// Lays the matrix out: hazards with gaps first.
#[must_use]
pub fn text(matrix: &Matrix) -> String {
    let head = [
        format!("Hazards and controls: {} ({}, revision {})", matrix.title, matrix.id, matrix.revision),
        "=".repeat(WIDTH),
        format!("Equipment: {}. Effective: {}.", matrix.equipment, matrix.effective()),
        format!("Content: {}", matrix.content),
    ];
    let head = head.iter().flat_map(|line| hang("", line, WIDTH)).map(|line| line + "\n");
    head.collect::<String>() + &hazards(matrix)
}

/// The same without what it is a matrix of.
pub(crate) fn hazards(matrix: &Matrix) -> String {
    let mut out = String::new();
    let mut line = |before: &str, text: &str| {
        for line in hang(before, text, WIDTH) {
            out.push_str(&line);
            out.push('\n');
        }
    };
    line("", INTRODUCTION);
    let wear = if matrix.wear.is_empty() { "none".to_owned() } else { matrix.wear.join("; ") };
    line("", &format!("Protective equipment throughout: {wear}."));
    let gaps: usize = matrix.hazards.iter().map(|hazard| hazard.gaps).sum();
    line("", &format!("{}, {}.", count(matrix.hazards.len(), "hazard"), count(gaps, "gap")));
    for hazard in &matrix.hazards {
        line("", "");
        let gaps = if hazard.gaps > 0 {
            format!(" [{}]", count(hazard.gaps, "gap").to_uppercase())
        } else {
            String::new()
        };
        line("", &format!("{} {}{gaps}", hazard.word.word(), hazard.name));
        line("", &"-".repeat(WIDTH));
        line("", &hazard.message);
        for rule in &hazard.rules {
            let mark = if rule.verdict.is_against() { "! " } else { "  " };
            line(mark, &format!("Rule {}: {}.", rule.name, rule.words()));
        }
        for exposure in &hazard.exposures {
            line(
                "  ",
                &format!("Step {} {}: exposed by {}.", exposure.step, exposure.title, exposure.by.join("; ")),
            );
            for (kind, controls) in exposure.by_kind() {
                line("      - ", &format!("{kind}: {controls}"));
            }
            if let Some(gap) = &exposure.gap {
                line("      ! ", &format!("GAP: {gap}"));
            }
        }
    }
    out
}
