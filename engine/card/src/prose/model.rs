//! Text as blocks and spans.

use serde::{Deserialize, Serialize};

/// A text, block by block. It is as deep as reading allows, which is not deep.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Prose {
    /// Its blocks from first to last; none for no text.
    pub blocks: Vec<Block>,
}

/// What stands for itself, one below the other.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Block {
    /// A paragraph. A heading is one in strong letters: it would break the order of the page's own headings.
    Paragraph(Vec<Span>),
    /// The words of an item in a list whose items stand close together.
    Line(Vec<Span>),
    /// A list.
    List(List),
    /// A quotation.
    Quote(Vec<Block>),
    /// Text that keeps its line ends and its spaces.
    Code(String),
    /// A break between themes: white where there are only lines, and else nothing.
    Rule,
}

/// A list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct List {
    /// The number of the first item; none where items have no numbers.
    pub first: Option<usize>,
    /// The items, each of blocks; at least one.
    pub items: Vec<Vec<Block>>,
}

/// A piece of a line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Span {
    /// Letters as they are. Line ends are those of markup that is shown as text.
    Text(String),
    /// Letters as a machine shows them.
    Code(String),
    /// Emphasis.
    Emphasis(Vec<Span>),
    /// Strong emphasis.
    Strong(Vec<Span>),
    /// A link.
    Link {
        /// What stands for it.
        text: Vec<Span>,
        /// Where it leads.
        address: String,
    },
    /// The line ends here.
    Break,
}

impl Prose {
    /// A text of our own: shown as it is.
    pub(crate) fn plain(text: impl Into<String>) -> Self {
        Self { blocks: vec![Block::Paragraph(vec![Span::Text(text.into())])] }
    }
}

impl Span {
    /// What stands after the text of a link. On paper no one can follow it, so its address is printed, unless it is the
    /// text itself.
    #[must_use]
    pub fn after_link(text: &[Self], address: &str) -> Option<String> {
        (letters(text) != address).then(|| format!(" ({address})"))
    }
}

/// The letters of spans without any markup.
fn letters(spans: &[Span]) -> String {
    let one = |span: &Span| match span {
        Span::Text(text) | Span::Code(text) => text.clone(),
        Span::Emphasis(inner) | Span::Strong(inner) => letters(inner),
        Span::Link { text, address } => letters(text) + &Span::after_link(text, address).unwrap_or_default(),
        Span::Break => "\n".to_owned(),
    };
    spans.iter().map(one).collect()
}
