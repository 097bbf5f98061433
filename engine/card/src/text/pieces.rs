//! What stands in the boxes of steps and outside them.

use super::paper::Paper;
use crate::page::{Question, Row, SignalWord, Table, Value, Warning};

/// A message in one paragraph. The safety alert symbol is the word's own exclamation mark in brackets.
pub(super) fn message(warning: &Warning) -> String {
    let Warning { word, symbol, hazard, consequence, avoid } = warning;
    format!("{} {hazard} {consequence} {avoid}", signal(*word, *symbol))
}

pub(super) fn signal(word: SignalWord, symbol: bool) -> String {
    format!("{}{}:", if symbol { "(!) " } else { "" }, word.word())
}

pub(super) fn question(paper: &mut Paper, indent: &str, one: &Question) {
    let Question { ask, answer, choices, hint } = one;
    if choices.is_empty() {
        paper.line(&format!("{indent}[ ] {answer:<4}"), ask);
    } else {
        paper.line(indent, ask);
        for choice in choices {
            paper.line(&format!("{indent}  [ ] {answer:<4}"), choice);
        }
    }
    if let Some(hint) = hint {
        paper.line(&format!("{indent}        "), hint);
    }
}

pub(super) fn value(paper: &mut Paper, indent: &str, name: &str, value: &Value) {
    let Value { one, table } = value;
    if let Some(one) = one {
        paper.line(indent, &format!("{name}{one}"));
    }
    let Some(Table { rows_by, columns_by, columns, rows }) = table else { return };
    for Row { name: row, cells } in rows {
        match columns_by {
            None => paper.line(indent, &format!("{name}{rows_by} {row}: {}", cells.join(", "))),
            Some(columns_by) => {
                for (column, cell) in columns.iter().zip(cells) {
                    paper.line(indent, &format!("{name}{rows_by} {row}, {columns_by} {column}: {cell}"));
                }
            }
        }
    }
}
