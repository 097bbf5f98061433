//! What stands in the boxes of steps and outside them: warnings, questions and figures.

use super::signal::SignalWord;
use serde::Serialize;

/// A hazard with its signal word.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Warning {
    /// The computed signal word.
    pub word: SignalWord,
    /// Whether the safety alert symbol stands beside it.
    pub symbol: bool,
    /// What the danger is.
    pub hazard: String,
    /// What happens.
    pub consequence: String,
    /// How to avoid it.
    pub avoid: String,
}

/// A question in the equipment's words.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Question {
    /// The question; or, with `choices`, what is common to them.
    pub ask: String,
    /// The answer that lets the work go on, "yes" or "no".
    pub answer: &'static str,
    /// Questions of which any one may be answered so.
    pub choices: Vec<String>,
    /// A remark for what cannot be seen.
    pub hint: Option<String>,
}

/// A figure: one for all machines, or a table.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Value {
    /// The figure that holds for all.
    pub one: Option<String>,
    /// The figures by variant.
    pub table: Option<Table>,
}

/// Figures by variants.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Table {
    /// What the first column names.
    pub rows_by: String,
    /// What the other columns name; none if there is but one.
    pub columns_by: Option<String>,
    /// The names of the columns after the first.
    pub columns: Vec<String>,
    /// The rows.
    pub rows: Vec<Row>,
}

/// One row of figures.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Row {
    /// Its name.
    pub name: String,
    /// A figure for each column.
    pub cells: Vec<String>,
}
