//! What stands in the boxes of steps and outside them.

use super::escape::escape;
use super::sheet::Sheet;
use crate::page::{Question, Value, Warning};

/// A message in one paragraph. The safety alert symbol is the word's own exclamation mark in brackets.
pub(super) fn message(warning: &Warning) -> String {
    let rest = escape(&format!("{} {} {}", warning.hazard, warning.consequence, warning.avoid));
    format!("**{}** {rest}", signal(warning))
}

pub(super) fn signal(warning: &Warning) -> String {
    let symbol = if warning.symbol { "(!) " } else { "" };
    format!("{symbol}{}:", warning.word.word())
}

pub(super) fn question(one: &Question) -> String {
    let mut text = if one.choices.is_empty() {
        format!("[ ] **{}** {}", one.answer, escape(&one.ask))
    } else {
        let choices = one.choices.iter();
        let choices: Vec<String> =
            choices.map(|choice| format!("\n  - [ ] **{}** {}", one.answer, escape(choice))).collect();
        format!("{}{}", escape(&one.ask), choices.concat())
    };
    if let Some(hint) = &one.hint {
        text.push_str(&format!(" ({})", escape(hint.trim_end_matches('.'))));
    }
    text
}

/// A figure for all machines in a line; figures by variants as a table.
pub(super) fn value(sheet: &mut Sheet, name: &str, value: &Value) {
    if let Some(one) = &value.one {
        sheet.block(&format!("{name}{}", escape(one)));
    }
    let Some(table) = &value.table else { return };
    if !name.is_empty() {
        sheet.block(name.trim_end());
    }
    let mut head = vec![table.rows_by.clone()];
    match &table.columns_by {
        Some(by) => head.extend(table.columns.iter().map(|column| format!("{by} {column}"))),
        None => head.push(String::new()),
    }
    let rows: Vec<Vec<String>> = table
        .rows
        .iter()
        .map(|row| std::iter::once(row.name.clone()).chain(row.cells.iter().cloned()).collect())
        .collect();
    sheet.any_table(&head, &rows);
}
