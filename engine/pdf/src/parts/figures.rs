//! The figures that methods work out, with their working.

use super::{Composer, GAP};
use crate::error::Error;
use crate::set::{Piece, Setter};
use crate::stack::Stack;
use crate::table::{Grid, cell};
use crate::tree::{NodeId, Role};
use card::page::{Figure, Row, Table, Value, Working};

/// Room for the name of a figure.
const NAMED: f32 = 40.0;

impl Composer {
    pub(super) fn figures(&mut self, figures: &[Figure]) -> Result<(), Error> {
        if figures.is_empty() {
            return Ok(());
        }
        self.part("Figures")?;
        let width = self.width();
        for Figure { name, value, working } in figures {
            self.set.place = format!("the figure “{name}”");
            self.heading(&card::capital(name))?;
            // With its working on one page: a figure that stands alone cannot be checked.
            let mut stack = self.set.value("", value, width, self.section)?.whole();
            if let Some(working) = working {
                stack.push_after(GAP, self.working(working)?);
            }
            self.push(2.0, stack);
        }
        Ok(())
    }

    fn working(&mut self, working: &Working) -> Result<Stack, Error> {
        let (kind, width) = (self.set.body(), self.width());
        let Working { method, formula, inputs, example_for, example, source } = working;
        let inputs: Vec<String> = inputs.iter().map(|(name, given)| format!("{name}: {given}")).collect();
        let mut lines = vec![
            vec![Piece::strong("Working"), Piece::plain(format!(" ({method}): {formula}"))],
            vec![Piece::plain(format!("{}.", inputs.join("; ")))],
        ];
        lines.extend(example_for.iter().map(|which| vec![Piece::plain(format!("For {which}:"))]));
        lines.extend(example.iter().map(|line| vec![Piece::plain(line)]));
        lines.push(vec![Piece::plain(format!("Source: {source}"))]);
        let mut stack = Stack::default();
        for line in lines {
            let leaf = self.set.tree.add(self.section, Role::Paragraph);
            stack.push_after(1.5, self.set.text(&line, kind, width - 16.0, Some(leaf))?);
        }
        Ok(stack.right(12.0))
    }
}

impl Setter {
    /// A figure, with a name before it or none; one by variants as a table, or line by line if that is too wide.
    pub(crate) fn value(
        &mut self,
        name: &str,
        value: &Value,
        width: f32,
        parent: NodeId,
    ) -> Result<Stack, Error> {
        let kind = self.body();
        let mut all = Stack::default();
        let Value { one, table } = value;
        if let Some(one) = one {
            if name.is_empty() {
                let leaf = self.tree.add(parent, Role::Paragraph);
                all.push(self.words(one, kind.strong(), width, leaf)?);
            } else {
                let list = self.tree.add(parent, Role::List(false));
                all.push(self.fact(name, &[Piece::plain(one)], kind.strong(), NAMED, width, list)?);
            }
        }
        let Some(table) = table else { return Ok(all) };
        if !name.is_empty() {
            let leaf = self.tree.add(parent, Role::Paragraph);
            let kind = self.label();
            all.push(self.words(name, kind, width, leaf)?);
        }
        match self.table(&grid(table), width, parent)? {
            Some(rows) => rows.head.into_iter().chain(rows.rows).for_each(|row| all.push(row)),
            None => {
                for line in lines(table) {
                    let leaf = self.tree.add(parent, Role::Paragraph);
                    all.push(self.text(&[Piece::plain(line)], kind, width, Some(leaf))?);
                }
            }
        }
        Ok(all)
    }
}

fn grid(table: &Table) -> Grid<'_> {
    let Table { rows_by, columns_by, columns, rows } = table;
    let mut headers = Vec::new();
    if columns_by.is_some() {
        headers.push(rows_by.as_str());
        headers.extend(columns.iter().map(String::as_str));
    }
    let rows = rows.iter().map(|Row { name, cells }| {
        let name = if columns_by.is_some() { name.clone() } else { format!("{rows_by} {name}") };
        std::iter::once(name).chain(cells.iter().cloned()).map(cell).collect()
    });
    Grid { headers, rows: rows.collect(), wide: false, shares: &[], least: 0.0 }
}

/// Every figure with the names of its row and column.
fn lines(table: &Table) -> Vec<String> {
    let Table { rows_by, columns_by, columns, rows } = table;
    let mut lines = Vec::new();
    for Row { name, cells } in rows {
        match columns_by {
            None => lines.push(format!("{rows_by} {name}: {}", cells.join(", "))),
            Some(columns_by) => lines.extend(
                columns
                    .iter()
                    .zip(cells)
                    .map(|(column, cell)| format!("{rows_by} {name}, {columns_by} {column}: {cell}")),
            ),
        }
    }
    lines
}
