//! A sheet as plain text.

use super::{Block, Sheet, Table};
use crate::wrap::hang;

/// Columns of the text.
const WIDTH: usize = 100;

/// Lays a sheet out: parts under their headings, a row of a table as one paragraph.
#[must_use]
pub fn text(sheet: &Sheet) -> String {
    let mut out = Out(String::new());
    out.line("", &sheet.title);
    if let Some(verdict) = &sheet.verdict {
        out.line("", &verdict.words());
    }
    for (name, value) in &sheet.facts {
        out.line("", &format!("{name}: {value}"));
    }
    for part in &sheet.parts {
        out.line("", "");
        out.line("", &part.title);
        for block in &part.blocks {
            out.block(block);
        }
    }
    out.0
}

struct Out(String);

impl Out {
    fn line(&mut self, before: &str, text: &str) {
        for line in hang(before, text, WIDTH) {
            self.0.push_str(&line);
            self.0.push('\n');
        }
    }

    fn block(&mut self, block: &Block) {
        match block {
            Block::Heading(title) => self.line("  ", title),
            Block::Lines(lines) => lines.iter().for_each(|line| self.line("  ", &line.words())),
            Block::Table(table) => self.table(table),
            Block::Matrix(matrix) => {
                for line in crate::matrix::hazards(matrix).lines() {
                    self.0.push_str(format!("  {line}").trim_end());
                    self.0.push('\n');
                }
            }
        }
    }

    fn table(&mut self, table: &Table) {
        for row in &table.rows {
            let mut cells = row.iter().map(|cell| {
                let lines: Vec<String> = cell.lines.iter().map(super::Line::words).collect();
                lines.join(" / ")
            });
            let first = cells.next().unwrap_or_default();
            let rest: Vec<String> = cells.filter(|cell| !cell.is_empty()).collect();
            let shown = if rest.is_empty() { first } else { format!("{first}: {}", rest.join("; ")) };
            self.line("  ", &shown);
            for step in row.iter().flat_map(|cell| &cell.trace) {
                self.line("      ", step);
            }
        }
    }
}
