//! A sheet as HTML.

use super::{Block, Cell, Line, Sheet, Table};
use crate::html::{STYLE, card_values, environment};
use crate::page::Page;
use minijinja::value::Value;
use minijinja::{Error, context};

/// Lays a sheet out as one self-contained file, with the card below it if there is one.
///
/// # Errors
/// A fault of the built-in templates, never of the content.
pub fn html(sheet: &Sheet, card: Option<&Page>) -> Result<String, Error> {
    environment()?.get_template("sheet.html")?.render(context! {
        sheet => values(sheet),
        style => STYLE,
        ..card.map(card_values).unwrap_or_default()
    })
}

/// The same without a frame, for a page of somebody else's: the verdict, the facts and the parts.
///
/// # Errors
/// A fault of the built-in templates, never of the content.
pub fn fragment(sheet: &Sheet) -> Result<String, Error> {
    environment()?.get_template("sheet-parts.html")?.render(context! { sheet => values(sheet) })
}

fn values(sheet: &Sheet) -> Value {
    let parts = sheet.parts.iter().map(|part| {
        let blocks: Vec<Value> = part.blocks.iter().map(block).collect();
        context! { id => &part.id, title => &part.title, blocks }
    });
    context! {
        title => &sheet.title,
        running => &sheet.running,
        content => &sheet.content,
        day => &sheet.day,
        verdict => sheet.verdict.as_ref().map(line),
        facts => &sheet.facts,
        parts => parts.collect::<Vec<_>>(),
    }
}

fn block(block: &Block) -> Value {
    match block {
        Block::Heading(title) => context! { is => "heading", title },
        Block::Lines(lines) => {
            context! { is => "lines", lines => lines.iter().map(line).collect::<Vec<_>>() }
        }
        Block::Table(table) => context! { is => "table", table => rows(table) },
        Block::Matrix(matrix) => context! {
            is => "matrix", matrix => crate::matrix::values(matrix), introduction => crate::matrix::INTRODUCTION,
        },
    }
}

fn rows(table: &Table) -> Value {
    let cell = |cell: &Cell| {
        context! { lines => cell.lines.iter().map(line).collect::<Vec<_>>(), trace => &cell.trace }
    };
    let rows = table.rows.iter().map(|row| row.iter().map(cell).collect::<Vec<_>>());
    context! { headers => &table.headers, rows => rows.collect::<Vec<_>>() }
}

fn line(line: &Line) -> Value {
    context! { lead => &line.lead, text => &line.text, class => line.tone.class(), to => &line.to }
}
