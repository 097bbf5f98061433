//! What is laid before somebody who decides, on paper, with the card after it.

use super::{Composer, GAP};
use crate::error::Error;
use crate::file::{About, paged};
use crate::flow::NEW_PAGE;
use crate::head::Running;
use crate::options::{Format, Options};
use crate::set::{Face, Piece};
use crate::table::Grid;
use crate::tree::Role;
use card::page::Page;
use card::sheet::{Block, Cell, Line, Part, Sheet, Table, Tone};

/// Puts a sheet on paper, and the card after it from a page of its own. Pocket paper is too small: it goes to the sheet
/// that is cut into pocket pages.
///
/// # Errors
/// As [`crate::render`].
pub fn sheet(sheet: &Sheet, card: Option<&Page>, options: &Options) -> Result<Vec<u8>, Error> {
    let format = Format::whole(options.paper);
    let mut composer = Composer::new(format);
    "the head of the sheet".clone_into(&mut composer.set.place);
    composer.title(&sheet.title, 20.0)?;
    if let Some(verdict) = &sheet.verdict {
        composer.laid(verdict)?;
    }
    for (name, value) in &sheet.facts {
        composer.laid(&Line::led(name, value))?;
    }
    sheet.parts.iter().try_for_each(|part| composer.sheet_part(part))?;
    if let Some(page) = card {
        let at = composer.groups.len();
        composer.set.tree.inside();
        composer.section = composer.set.tree.root(Role::Section);
        composer.card(page)?;
        if let Some(group) = composer.groups.get_mut(at) {
            group.before = NEW_PAGE;
            group.bookmark = Some((1, "The card".to_owned()));
        }
    }
    let dated = match (&sheet.day, &sheet.effective) {
        (Some(day), _) => format!("As of {day}"),
        (None, Some(effective)) => format!("Effective {effective} at the latest"),
        (None, None) => String::new(),
    };
    let running = Running {
        left: [sheet.running.clone(), dated],
        content: sheet.content.clone(),
        standing: sheet.mark.clone(),
    };
    let about = About {
        title: format!("{} ({})", sheet.title, sheet.running),
        description: sheet.verdict.as_ref().map(Line::words).unwrap_or_default(),
        content: format!("{}: {}", sheet.title, sheet.content),
        effective: sheet.day.clone().or_else(|| sheet.effective.clone()),
        author: None,
    };
    let (groups, tree) = composer.finish();
    paged(format, groups, tree, &running, &about)
}

impl Composer {
    fn sheet_part(&mut self, part: &Part) -> Result<(), Error> {
        self.part(&part.title)?;
        for block in &part.blocks {
            match block {
                Block::Heading(title) => self.heading(title)?,
                Block::Lines(lines) => lines.iter().try_for_each(|line| self.laid(line))?,
                Block::Table(table) => self.sheet_table(table)?,
                Block::Matrix(matrix) => {
                    self.paragraph(GAP, card::matrix::INTRODUCTION)?;
                    self.hazards_and_controls(matrix)?;
                }
            }
        }
        Ok(())
    }

    /// A paragraph; what stands for or against something is strong, what is beside the point slanted.
    fn laid(&mut self, line: &Line) -> Result<(), Error> {
        let leaf = self.set.tree.add(self.section, Role::Paragraph);
        let kind = match line.tone {
            Tone::For | Tone::Against => self.set.body().strong(),
            Tone::Aside => self.set.body().slanted(),
            Tone::Plain | Tone::Place => self.set.body(),
        };
        let mut pieces = Vec::new();
        if !line.lead.is_empty() {
            pieces.push(Piece::strong(format!("{}: ", line.lead)));
        }
        pieces.push(Piece { text: line.text.clone(), face: None });
        let width = self.width();
        let stack = self.set.text(&pieces, kind, width, Some(leaf))?;
        self.push(GAP / 2.0, stack);
        Ok(())
    }

    fn sheet_table(&mut self, table: &Table) -> Result<(), Error> {
        let shares: Vec<f32> = table.shares.iter().map(|&share| f32::from(share) / 100.0).collect();
        let grid = Grid {
            headers: table.headers.iter().map(String::as_str).collect(),
            rows: table.rows.iter().map(|row| row.iter().map(pieces).collect()).collect(),
            wide: true,
            shares: &shares,
            least: 0.0,
        };
        let width = self.width();
        if let Some(rows) = self.set.table(&grid, width, self.section)? {
            self.rows(rows)?;
        }
        Ok(())
    }
}

/// A cell line by line: what leads is strong, and so is what stands for or against; what is beside the point is not.
fn pieces(one: &Cell) -> Vec<Piece> {
    let mut pieces = Vec::new();
    for line in &one.lines {
        let face = match line.tone {
            Tone::For | Tone::Against => Some(Face::Strong),
            Tone::Aside | Tone::Place => Some(Face::Plain),
            Tone::Plain => None,
        };
        let new_line = if pieces.is_empty() { "" } else { "\n" };
        if line.lead.is_empty() {
            pieces.push(Piece { text: format!("{new_line}{}", line.text), face });
        } else {
            pieces.push(Piece::strong(format!("{new_line}{}: ", line.lead)));
            pieces.push(Piece { text: line.text.clone(), face });
        }
    }
    pieces.extend(one.trace.iter().map(|step| Piece::plain(format!("\n  {step}"))));
    pieces
}
