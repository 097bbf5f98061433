//! Text as lines: what a terminal shows, and what Markdown is made of.

use super::model::{Block, List, Prose, Span};

/// A line of text without markup.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Line {
    /// How many spaces it is moved in by, under the words of the item that it belongs to.
    pub(crate) indent: usize,
    /// The mark of the item that it begins, with the space after it; empty for none.
    pub(crate) mark: String,
    /// The words.
    pub(crate) text: String,
}

impl Line {
    /// Whether there is nothing on it.
    pub(crate) fn is_blank(&self) -> bool {
        let Self { indent: _, mark, text } = self;
        mark.is_empty() && text.trim().is_empty()
    }
}

impl Prose {
    /// The text without any markup; paragraphs are parted by an empty line, and items have their marks.
    #[must_use]
    pub fn text(&self) -> String {
        let line = |line: Line| {
            let Line { indent, mark, text } = line;
            format!("{}{mark}{text}", " ".repeat(indent))
        };
        let lines: Vec<String> = self.lines().into_iter().map(line).collect();
        lines.join("\n").trim().to_owned()
    }

    /// The same line by line, without blank lines at the ends.
    pub(crate) fn lines(&self) -> Vec<Line> {
        let Self { blocks } = self;
        let mut writer = Writer { lines: vec![Line::default()], indent: 0, begins: true };
        writer.blocks(blocks);
        let mut lines = writer.lines;
        while lines.last().is_some_and(Line::is_blank) {
            lines.pop();
        }
        let first = lines.iter().position(|line| !line.is_blank()).unwrap_or_default();
        lines.split_off(first)
    }
}

/// Lines as they grow; there is always one.
struct Writer {
    lines: Vec<Line>,
    indent: usize,
    /// Whether nothing was written yet of the text, or of the item that was begun last.
    begins: bool,
}

impl Writer {
    fn blocks(&mut self, blocks: &[Block]) {
        for block in blocks {
            match block {
                Block::Paragraph(spans) => {
                    self.part();
                    self.spans(spans);
                }
                Block::Line(spans) => {
                    if self.lines.last().is_some_and(|line| !line.text.is_empty()) {
                        self.line();
                    }
                    self.spans(spans);
                }
                Block::List(list) => self.list(list),
                Block::Quote(inner) => self.blocks(inner),
                Block::Code(text) => {
                    self.part();
                    self.text(text);
                }
                Block::Rule => self.part(),
            }
        }
    }

    fn list(&mut self, list: &List) {
        let List { first, items } = list;
        if self.indent == 0 {
            self.part();
        } else {
            self.line();
        }
        for (at, item) in items.iter().enumerate() {
            if at > 0 {
                self.line();
            }
            let mark = first.map_or_else(|| "- ".to_owned(), |first| format!("{}. ", first + at));
            let room = mark.len();
            if let Some(line) = self.lines.last_mut() {
                line.mark = mark;
            }
            self.begins = true;
            self.indent += room;
            self.blocks(item);
            self.indent -= room;
        }
        self.begins = false;
    }

    fn spans(&mut self, spans: &[Span]) {
        for span in spans {
            match span {
                Span::Text(text) | Span::Code(text) => self.text(text),
                Span::Emphasis(inner) | Span::Strong(inner) => self.spans(inner),
                Span::Link { text, address } => {
                    self.spans(text);
                    self.text(&Span::after_link(text, address).unwrap_or_default());
                }
                Span::Break => self.line(),
            }
        }
    }

    fn text(&mut self, text: &str) {
        self.begins &= text.is_empty();
        for (at, part) in text.split('\n').enumerate() {
            if at > 0 {
                self.line();
            }
            if let Some(line) = self.lines.last_mut() {
                line.text.push_str(part);
            }
        }
    }

    fn line(&mut self) {
        self.begins = false;
        self.lines.push(Line { indent: self.indent, ..Line::default() });
    }

    /// Parts a block by an empty line from what stands before it, unless it begins the text or its item.
    fn part(&mut self) {
        if !self.begins {
            self.lines.push(Line::default());
            self.line();
        }
    }
}
