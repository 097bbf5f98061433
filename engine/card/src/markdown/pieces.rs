//! What stands in the boxes of steps and outside them.

use super::escape::escape;
use super::sheet::Sheet;
use crate::page::{Question, Row, SignalWord, Table, Value, Warning};

/// A message in one paragraph. The safety alert symbol is the word's own exclamation mark in brackets.
pub(super) fn message(warning: &Warning) -> String {
    let Warning { word, symbol, hazard, consequence, avoid } = warning;
    format!("**{}** {}", signal(*word, *symbol), escape(&format!("{hazard} {consequence} {avoid}")))
}

pub(super) fn signal(word: SignalWord, symbol: bool) -> String {
    format!("{}{}:", if symbol { "(!) " } else { "" }, word.word())
}

pub(super) fn question(one: &Question) -> String {
    let Question { ask, answer, choices, hint } = one;
    let mut text = if choices.is_empty() {
        format!("[ ] **{answer}** {}", escape(ask))
    } else {
        let choices = choices.iter();
        let choices: Vec<String> =
            choices.map(|choice| format!("\n  - [ ] **{answer}** {}", escape(choice))).collect();
        format!("{}{}", escape(ask), choices.concat())
    };
    if let Some(hint) = hint {
        text.push_str(&format!(" ({})", escape(hint.trim_end_matches('.'))));
    }
    text
}

/// A figure for all machines in a line; figures by variants as a table.
pub(super) fn value(sheet: &mut Sheet, name: &str, value: &Value) {
    let Value { one, table } = value;
    if let Some(one) = one {
        sheet.block(&format!("{name}{}", escape(one)));
    }
    let Some(Table { rows_by, columns_by, columns, rows }) = table else { return };
    if !name.is_empty() {
        sheet.block(name.trim_end());
    }
    let mut head = vec![rows_by.clone()];
    match columns_by {
        Some(by) => head.extend(columns.iter().map(|column| format!("{by} {column}"))),
        None => head.push(String::new()),
    }
    let rows: Vec<Vec<String>> = rows
        .iter()
        .map(|Row { name, cells }| std::iter::once(name.clone()).chain(cells.iter().cloned()).collect())
        .collect();
    sheet.any_table(&head, &rows);
}
