//! Tables with headers. One that is too wide for the page is for the caller to say in lines.

use crate::error::Error;
use crate::set::{Piece, Setter};
use crate::stack::{Ink, Mark, Stack};
use crate::tree::{NodeId, Role};

/// White at the sides of a cell, and above and below its text.
const SIDE: f32 = 5.0;
const UP: f32 = 2.5;
/// A header no wider than this is not broken.
const HEADER_MOST: f32 = 76.0;

/// What stands in a cell.
pub(crate) type Cell = Vec<Piece>;

/// A cell of plain text.
pub(crate) fn cell(text: impl Into<String>) -> Cell {
    vec![Piece::plain(text)]
}

/// Rows of a table; the first cell of each row is its header.
pub(crate) struct Grid<'a> {
    /// Headers of the columns; none for a table without.
    pub(crate) headers: Vec<&'a str>,
    /// The rows.
    pub(crate) rows: Vec<Vec<Cell>>,
    /// Whether the last column takes what is left of the width.
    pub(crate) wide: bool,
    /// The columns' parts of the width; none for natural widths.
    pub(crate) shares: &'a [f32],
    /// Least height of a row.
    pub(crate) least: f32,
}

/// A table row by row: the headers, and the others.
pub(crate) struct Rows {
    pub(crate) head: Option<Stack>,
    pub(crate) rows: Vec<Stack>,
}

impl Setter {
    /// Sets a table, or gives none if it is too wide.
    pub(crate) fn table(
        &mut self,
        grid: &Grid<'_>,
        width: f32,
        parent: NodeId,
    ) -> Result<Option<Rows>, Error> {
        let Some(widths) = self.widths(grid, width)? else { return Ok(None) };
        let table = self.tree.add(parent, Role::Table);
        let mut head = None;
        if !grid.headers.is_empty() {
            let group = self.tree.add(table, Role::Head);
            let row = self.tree.add(group, Role::Row);
            let kind = self.label();
            let mut cells = Vec::new();
            let mut x = 0.0;
            for (text, width) in grid.headers.iter().zip(&widths) {
                let leaf = self.tree.add(row, Role::ColumnHeader);
                cells.push(self.words(text, kind, width - 2.0 * SIDE, leaf)?.right(x + SIDE));
                x += width;
            }
            head = Some(ruled(Stack::beside(cells), widths.iter().sum(), 1.0, 0.0));
        }
        let group = self.tree.add(table, Role::Rows);
        let mut rows = Vec::new();
        for cells in &grid.rows {
            let row = self.tree.add(group, Role::Row);
            let mut set = Vec::new();
            let mut x = 0.0;
            for (at, (pieces, width)) in cells.iter().zip(&widths).enumerate() {
                let leaf = self.tree.add(row, if at == 0 { Role::RowHeader } else { Role::Cell });
                let kind = if at == 0 { self.body().strong() } else { self.body() };
                set.push(self.text(pieces, kind, width - 2.0 * SIDE, Some(leaf))?.right(x + SIDE));
                x += width;
            }
            rows.push(ruled(Stack::beside(set), widths.iter().sum(), 0.5, grid.least));
        }
        let all: f32 = widths.iter().sum();
        if let Some(strip) = rows.last_mut().and_then(|row: &mut Stack| row.strips.last_mut()) {
            strip.marks.push(Mark::layout(0.0, strip.height, Ink::Rule(all, 1.0)));
        }
        if grid.least > 0.0 {
            posts(&mut rows, &widths);
        }
        Ok(Some(Rows { head, rows }))
    }

    /// The natural widths of the columns; narrower ones, but none narrower than its longest word, if they do not fit.
    fn widths(&mut self, grid: &Grid<'_>, width: f32) -> Result<Option<Vec<f32>>, Error> {
        if !grid.shares.is_empty() {
            return Ok(Some(grid.shares.iter().map(|share| share * width).collect()));
        }
        let columns = grid.rows.iter().map(Vec::len).chain([grid.headers.len()]).max().unwrap_or_default();
        let mut natural = vec![0.0_f32; columns];
        let mut least = vec![0.0_f32; columns];
        let headers: Vec<Cell> = grid.headers.iter().map(|&header| cell(header)).collect();
        for (row, cells) in [&headers].into_iter().chain(&grid.rows).enumerate() {
            for (at, pieces) in cells.iter().enumerate() {
                let text: String = pieces.iter().map(|piece| piece.text.as_str()).collect();
                let kind = if row == 0 || at == 0 { self.body().strong() } else { self.body() };
                for line in text.lines() {
                    natural[at] = natural[at].max(self.short(line, kind)?.1 + 2.0 * SIDE + 0.5);
                }
                for word in text.split_whitespace().filter(|word| word.len() > 5) {
                    least[at] = least[at].max(self.short(word, kind)?.1 + 2.0 * SIDE + 0.5);
                }
                // Headers are short, and read badly in two lines.
                let header = if row == 0 || at == 0 { natural[at].min(HEADER_MOST) } else { 30.0 };
                least[at] = least[at].max(header);
            }
        }
        let total: f32 = natural.iter().sum();
        if total <= width {
            if let (true, Some(last)) = (grid.wide, natural.last_mut()) {
                *last += width - total;
            }
            return Ok(Some(natural));
        }
        let spare = width - least.iter().sum::<f32>();
        if spare < 0.0 {
            return Ok(None);
        }
        let wishes: Vec<f32> =
            natural.iter().zip(&least).map(|(natural, least)| (natural - least).max(0.0)).collect();
        let wished: f32 = wishes.iter().sum::<f32>().max(1.0);
        Ok(Some(least.iter().zip(&wishes).map(|(least, wish)| least + wish / wished * spare).collect()))
    }
}

/// Lines between the columns, where blank cells would run together.
fn posts(rows: &mut [Stack], widths: &[f32]) {
    for row in rows {
        let height = row.height();
        let Some(strip) = row.strips.first_mut() else { continue };
        let mut x = 0.0;
        for width in widths.iter().take(widths.len().saturating_sub(1)) {
            x += width;
            strip.marks.push(Mark::layout(x, 0.0, Ink::Post(height)));
        }
    }
}

/// A row with a line above.
fn ruled(row: Stack, width: f32, thick: f32, least: f32) -> Stack {
    let mut ruled = Stack::strip(UP, None, vec![Mark::layout(0.0, 0.0, Ink::Rule(width, thick))]);
    let height = row.height();
    ruled.push(row);
    ruled.push(Stack::strip(UP + (least - height).max(0.0), None, Vec::new()));
    ruled.whole()
}
