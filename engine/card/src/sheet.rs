//! A sheet for people who decide: a verdict, facts, and parts made of lines, tables and matrices.
//!
//! Whoever has something to lay before an officer fills a [`Sheet`]; HTML, text and PDF are made of it. Words carry every
//! distinction; a [`Tone`] only helps the eye.

mod html;
mod text;

pub use html::{fragment, html};
pub use text::text;

use crate::matrix::Matrix;

/// What is laid before somebody.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sheet {
    /// What it is and of what: "Review: Clean the tank strainer".
    pub title: String,
    /// What it is a sheet of, in short, for the head of every printed page: "strainer-clean, revision 2".
    pub running: String,
    /// The hash of the content it speaks of; empty if it speaks of several.
    pub content: String,
    /// The day by which it was judged; none if no day decides.
    pub day: Option<String>,
    /// The effective date of what it speaks of, the latest of several; it dates a sheet that no day decides.
    pub effective: Option<String>,
    /// What every printed page says besides, such as that it counts for training alone; empty for nothing.
    pub mark: String,
    /// What it comes to.
    pub verdict: Option<Line>,
    /// Facts by their names.
    pub facts: Vec<(String, String)>,
    /// The parts.
    pub parts: Vec<Part>,
}

/// A part with its heading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Part {
    /// By which it can be linked to: letters, digits and hyphens.
    pub id: String,
    /// The heading.
    pub title: String,
    /// What stands in it.
    pub blocks: Vec<Block>,
}

/// A piece of a part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Block {
    /// A lesser heading.
    Heading(String),
    /// Paragraphs.
    Lines(Vec<Line>),
    /// A table.
    Table(Table),
    /// The hazards and controls of a procedure.
    Matrix(Box<Matrix>),
}

/// A table; the first cell of each row is its header.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Table {
    /// Headers of the columns.
    pub headers: Vec<String>,
    /// The columns' parts of the width in hundredths, one for each header.
    pub shares: Vec<u8>,
    /// The rows.
    pub rows: Vec<Vec<Cell>>,
}

/// A cell of a table.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Cell {
    /// What stands in it.
    pub lines: Vec<Line>,
    /// A run, move by move, that can be looked at.
    pub trace: Vec<String>,
}

/// A line of text.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Line {
    /// What it is about, in strong letters before it; empty for nothing.
    pub lead: String,
    /// The text.
    pub text: String,
    /// How it looks.
    pub tone: Tone,
    /// Where it leads to; none for plain text.
    pub to: Option<String>,
}

/// What a line says, for the eye.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Tone {
    /// Nothing in particular.
    #[default]
    Plain,
    /// Something that stands against an approval.
    Against,
    /// Something that stands for one.
    For,
    /// Something beside the point.
    Aside,
    /// A place in a file.
    Place,
}

impl Tone {
    fn class(self) -> &'static str {
        match self {
            Self::Plain => "plain",
            Self::Against => "against",
            Self::For => "for",
            Self::Aside => "soft",
            Self::Place => "place",
        }
    }
}

impl Sheet {
    /// Every text of it but those of a matrix, to be written otherwise.
    pub fn each_text(&mut self, change: &mut dyn FnMut(&mut String)) {
        [&mut self.title, &mut self.running, &mut self.mark].into_iter().for_each(&mut *change);
        self.facts.iter_mut().for_each(|(_, value)| change(value));
        let mut lines: Vec<&mut Line> = self.verdict.iter_mut().collect();
        for part in &mut self.parts {
            change(&mut part.title);
            for block in &mut part.blocks {
                match block {
                    Block::Heading(title) => change(title),
                    Block::Lines(some) => lines.extend(some),
                    Block::Table(table) => {
                        for cell in table.rows.iter_mut().flatten() {
                            cell.trace.iter_mut().for_each(&mut *change);
                            lines.extend(&mut cell.lines);
                        }
                    }
                    Block::Matrix(_) => {}
                }
            }
        }
        for line in lines {
            change(&mut line.lead);
            change(&mut line.text);
        }
    }
}

impl Part {
    /// A part; it can be linked to by `id`.
    #[must_use]
    pub fn new(id: &str, title: impl Into<String>, blocks: Vec<Block>) -> Self {
        Self { id: id.to_owned(), title: title.into(), blocks }
    }
}

impl Block {
    /// One paragraph.
    #[must_use]
    pub fn line(line: impl Into<Line>) -> Self {
        Self::Lines(vec![line.into()])
    }
}

impl Line {
    /// A line with something in strong letters before it.
    #[must_use]
    pub fn led(lead: impl Into<String>, text: impl Into<String>) -> Self {
        Self { lead: lead.into(), text: text.into(), ..Self::default() }
    }

    /// The same in another tone.
    #[must_use]
    pub fn toned(self, tone: Tone) -> Self {
        Self { tone, ..self }
    }

    /// The same as a link.
    #[must_use]
    pub fn to(self, to: impl Into<String>) -> Self {
        Self { to: Some(to.into()), ..self }
    }

    /// As plain words.
    #[must_use]
    pub fn words(&self) -> String {
        match (self.lead.is_empty(), self.text.is_empty()) {
            (true, _) => self.text.clone(),
            (false, true) => self.lead.clone(),
            (false, false) => format!("{}: {}", self.lead, self.text),
        }
    }
}

impl Cell {
    /// Several lines.
    #[must_use]
    pub fn from_lines(lines: Vec<Line>) -> Self {
        Self { lines, trace: Vec::new() }
    }
}

impl<T: Into<String>> From<T> for Line {
    fn from(text: T) -> Self {
        Self { text: text.into(), ..Self::default() }
    }
}

impl<T: Into<Line>> From<T> for Cell {
    fn from(line: T) -> Self {
        Self { lines: vec![line.into()], trace: Vec::new() }
    }
}

#[cfg(test)]
mod tests;
