//! What the officer and the trainer look at, as sheets: HTML, text and paper are made of them elsewhere.

mod comparison;
mod library;
mod review_sheet;

pub use comparison::comparison;
pub use library::{Field, Listed, library};
pub use review_sheet::ReviewSheet;

use card::sheet::{Block, Cell, Line, Table};

/// A table with these headers, each with its part of the width in hundredths.
fn table(columns: &[(&str, u8)], rows: Vec<Vec<Cell>>) -> Block {
    let headers = columns.iter().map(|(header, _)| (*header).to_owned()).collect();
    let shares = columns.iter().map(|(_, share)| *share).collect();
    Block::Table(Table { headers, shares, rows })
}

/// A table, or a line where it would have no row.
fn table_or(columns: &[(&str, u8)], rows: Vec<Vec<Cell>>, none: &str) -> Block {
    if rows.is_empty() { Block::line(Line::from(none)) } else { table(columns, rows) }
}
