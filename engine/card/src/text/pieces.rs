//! What stands in the boxes of steps and outside them.

use super::paper::Paper;
use crate::page::{Question, Value, Warning};

/// A message in one paragraph. The safety alert symbol is the word's own exclamation mark in brackets.
pub(super) fn message(warning: &Warning) -> String {
    format!("{} {} {} {}", signal(warning), warning.hazard, warning.consequence, warning.avoid)
}

pub(super) fn signal(warning: &Warning) -> String {
    let symbol = if warning.symbol { "(!) " } else { "" };
    format!("{symbol}{}:", warning.word.word())
}

pub(super) fn question(paper: &mut Paper, indent: &str, one: &Question) {
    if one.choices.is_empty() {
        paper.line(&format!("{indent}[ ] {:<4}", one.answer), &one.ask);
    } else {
        paper.line(indent, &one.ask);
        for choice in &one.choices {
            paper.line(&format!("{indent}  [ ] {:<4}", one.answer), choice);
        }
    }
    if let Some(hint) = &one.hint {
        paper.line(&format!("{indent}        "), hint);
    }
}

pub(super) fn value(paper: &mut Paper, indent: &str, name: &str, value: &Value) {
    if let Some(one) = &value.one {
        paper.line(indent, &format!("{name}{one}"));
    }
    let Some(table) = &value.table else { return };
    for row in &table.rows {
        match &table.columns_by {
            None => {
                paper.line(indent, &format!("{name}{} {}: {}", table.rows_by, row.name, row.cells.join(", ")))
            }
            Some(columns_by) => {
                for (column, cell) in table.columns.iter().zip(&row.cells) {
                    let row = &row.name;
                    paper.line(
                        indent,
                        &format!("{name}{} {row}, {columns_by} {column}: {cell}", table.rows_by),
                    );
                }
            }
        }
    }
}
